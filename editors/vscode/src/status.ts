// The score in the status bar and in the language status: how many horn parts and findings, and which horn the part at the cursor is for.

import * as vscode from "vscode";
import type { LanguageClient, Range } from "vscode-languageclient/node";
import { isScore, LANGUAGES } from "./languages";
import type { Server } from "./server";

/** How long the cursor is to rest before its part is asked for, in milliseconds. */
const PAUSE = 250;

/** What the server knows of a score. */
export interface Status {
  readonly parts: readonly { readonly label: string; readonly crook: string; readonly head: Range }[];
  readonly findings: Readonly<Record<"error" | "warning" | "information" | "hint", number>>;
  /** Which of the parts stands at the cursor. */
  readonly part: number | null;
  readonly crook: string | null;
}

/** Asks the server; `null` when the score is not open there. */
export function status(client: LanguageClient, document: vscode.TextDocument, at: vscode.Position): Promise<Status | null> {
  return client.sendRequest<Status | null>("bellhand/status", {
    textDocument: client.code2ProtocolConverter.asTextDocumentIdentifier(document),
    position: client.code2ProtocolConverter.asPosition(at),
  });
}

const counted = (count: number, one: string, many: string) => `${count} ${count === 1 ? one : many}`;

/** The status in words: what stands in the item, and what below it. */
export function words({ parts, findings, part, crook }: Status): { readonly text: string; readonly detail: string } {
  const all = Object.values(findings).reduce((sum, count) => sum + count, 0);
  const graver = (["error", "warning"] as const).filter((severity) => findings[severity] > 0).map((severity) => counted(findings[severity], severity, `${severity}s`));
  const here = part === null ? undefined : parts[part];
  return {
    text: parts.length === 0 ? "no horn part" : `${counted(parts.length, "horn part", "horn parts")}, ${counted(all, "finding", "findings")}`,
    detail: [here && crook ? `${here.label}: ${crook} here` : undefined, ...graver].filter((one) => one !== undefined).join(", "),
  };
}

/** Keeps the item up to date. */
export class ScoreStatus implements vscode.Disposable {
  private readonly item = vscode.languages.createLanguageStatusItem("bellhand.score", [...LANGUAGES]);
  private readonly bar = vscode.window.createStatusBarItem("bellhand.score", vscode.StatusBarAlignment.Right, 100);
  private readonly watching: vscode.Disposable;
  private timer: NodeJS.Timeout | undefined;

  constructor(private readonly server: Server) {
    this.item.name = "Horn parts";
    this.item.command = { command: "workbench.actions.view.problems", title: "Findings" };
    this.bar.name = "Horn parts";
    this.bar.command = "workbench.actions.view.problems";
    this.watching = vscode.Disposable.from(
      vscode.window.onDidChangeActiveTextEditor(() => this.later()),
      vscode.window.onDidChangeTextEditorSelection(({ textEditor }) => textEditor === vscode.window.activeTextEditor && this.later()),
      vscode.languages.onDidChangeDiagnostics(({ uris }) => {
        const active = vscode.window.activeTextEditor?.document.uri.toString();
        if (uris.some((uri) => uri.toString() === active)) {
          this.later();
        }
      }),
      server.onDidChange(() => this.later()),
    );
    this.later();
  }

  dispose(): void {
    clearTimeout(this.timer);
    this.watching.dispose();
    this.item.dispose();
    this.bar.dispose();
  }

  private later(): void {
    clearTimeout(this.timer);
    this.timer = setTimeout(() => void this.ask(), PAUSE);
  }

  private async ask(): Promise<void> {
    const editor = vscode.window.activeTextEditor;
    const client = this.server.talk;
    if (editor === undefined || !isScore(editor.document.languageId)) {
      this.bar.hide();
      return;
    }
    try {
      const told = client?.isRunning() ? await status(client, editor.document, editor.selection.active) : null;
      const { text, detail } = told === null ? { text: "not read", detail: "" } : words(told);
      this.item.text = text;
      this.item.detail = detail;
      this.bar.text = `$(music) ${text}`;
      this.bar.tooltip = detail === "" ? "Horn parts and what is found in them" : detail;
      this.bar.show();
    } catch {
      // The text has moved on, which will be asked about; or the program is too old to know.
      this.item.detail = "";
    }
  }
}
