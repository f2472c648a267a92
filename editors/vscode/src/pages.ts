// Documents that the program writes: rules' own pages, and parts as their players read them.

import * as path from "node:path";
import * as vscode from "vscode";
import { isScore } from "./languages";
import { type Program, run } from "./program";

/** The schemes of their addresses. */
export const RULE = "bellhand-rule";
export const NOTES = "bellhand-notes";

/** How long a change of the score waits for the next one before its notes are read again. */
const PAUSE = 300;

/** The address of a rule's page. */
export function rulePage(rule: string): vscode.Uri {
  return vscode.Uri.from({ scheme: RULE, path: `/${rule}.md` });
}

/** The address of a score's notes; the score's own address goes with it. */
export function notesPage(score: vscode.Uri): vscode.Uri {
  return vscode.Uri.from({ scheme: NOTES, path: `${score.path}.notes`, query: score.toString() });
}

/** Gives the documents' text, and gives notes anew when their score changes. */
export class Pages implements vscode.TextDocumentContentProvider, vscode.Disposable {
  private readonly changed = new vscode.EventEmitter<vscode.Uri>();
  readonly onDidChange = this.changed.event;
  private readonly waiting = new Map<string, NodeJS.Timeout>();
  private readonly registered: vscode.Disposable;

  constructor(private readonly program: () => Program | undefined) {
    this.registered = vscode.Disposable.from(
      vscode.workspace.registerTextDocumentContentProvider(RULE, this),
      vscode.workspace.registerTextDocumentContentProvider(NOTES, this),
      vscode.workspace.onDidChangeTextDocument(({ document }) => {
        if (isScore(document.languageId)) {
          this.later(notesPage(document.uri));
        }
      }),
    );
  }

  async provideTextDocumentContent(uri: vscode.Uri): Promise<string> {
    const program = this.program();
    if (program === undefined) {
      return "There is no program to ask; see the setting bellhand.path.";
    }
    try {
      if (uri.scheme === RULE) {
        return await run(program, ["explain", uri.path.slice(1).replace(/\.md$/, "")]);
      }
      const score = await vscode.workspace.openTextDocument(vscode.Uri.parse(uri.query, true));
      const folder = score.uri.scheme === "file" ? path.dirname(score.uri.fsPath) : undefined;
      const notes = await run(program, ["notes", "--as", score.languageId, "-"], score.getText(), folder);
      // Each part's line begins with where it came from, which here was a pipe.
      return notes.replace(/^-: /gm, "");
    } catch (error) {
      return error instanceof Error ? error.message : String(error);
    }
  }

  dispose(): void {
    this.registered.dispose();
    this.changed.dispose();
    for (const timer of this.waiting.values()) {
      clearTimeout(timer);
    }
  }

  private later(page: vscode.Uri): void {
    const key = page.toString();
    if (!vscode.workspace.textDocuments.some((document) => document.uri.toString() === key)) {
      return;
    }
    clearTimeout(this.waiting.get(key));
    this.waiting.set(
      key,
      setTimeout(() => {
        this.waiting.delete(key);
        this.changed.fire(page);
      }, PAUSE),
    );
  }
}
