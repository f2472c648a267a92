// What the user can ask for.

import * as vscode from "vscode";
import { openExample } from "./example";
import { isScore } from "./languages";
import { newPart } from "./new-part";
import { notesPage, rulePage } from "./pages";
import { run } from "./program";
import { rewrite } from "./rewrite";
import type { Server } from "./server";

const FIX_ALL = vscode.CodeActionKind.SourceFixAll.append("bellhand");

function activeScore(): vscode.TextEditor | undefined {
  const editor = vscode.window.activeTextEditor;
  if (editor !== undefined && isScore(editor.document.languageId)) {
    return editor;
  }
  void vscode.window.showInformationMessage("Open a score first.");
  return undefined;
}

/** Fixes all that keeps the music as it is; whether there was anything. */
async function fixAll(): Promise<boolean> {
  const editor = activeScore();
  if (editor === undefined) {
    return false;
  }
  const { document } = editor;
  const whole = document.validateRange(new vscode.Range(0, 0, document.lineCount, 0));
  const actions = await vscode.commands.executeCommand<vscode.CodeAction[]>("vscode.executeCodeActionProvider", document.uri, whole, FIX_ALL.value);
  const edit = actions.find((action) => action.kind?.value === FIX_ALL.value)?.edit;
  if (edit === undefined) {
    void vscode.window.showInformationMessage("There is nothing to fix here without changing the music.");
    return false;
  }
  return vscode.workspace.applyEdit(edit);
}

/** The rules of the findings at the cursor, or else of those in its line. */
function rulesAtCursor(): string[] {
  const editor = vscode.window.activeTextEditor;
  if (editor === undefined) {
    return [];
  }
  const at = editor.selection.active;
  const inLine = vscode.languages
    .getDiagnostics(editor.document.uri)
    .filter(({ source, range }) => source === "bellhand" && range.start.line <= at.line && at.line <= range.end.line);
  const here = inLine.filter(({ range }) => range.contains(at));
  const codes = (here.length > 0 ? here : inLine).map(({ code }) => (typeof code === "object" ? code.value : code));
  return [...new Set(codes.filter((code): code is string => typeof code === "string"))];
}

/** Opens a rule's page: the one named, the one at the cursor, or one chosen from the list. */
async function explain(server: Server, named?: unknown): Promise<void> {
  let rule = typeof named === "string" ? named : undefined;
  const here = rulesAtCursor();
  if (rule === undefined && here.length === 1) {
    rule = here[0];
  }
  if (rule === undefined) {
    const program = server.inUse;
    if (program === undefined) {
      void vscode.window.showErrorMessage("There is no program to ask; see the setting bellhand.path.");
      return;
    }
    const choices = run(program, ["explain"]).then((list) =>
      list
        .split("\n")
        .map((line) => /^([a-z-]+\/[a-z-]+)\s+(\S+)\s+(.*)$/.exec(line))
        .filter((found) => found !== null)
        .map(([, label, severity, detail]) => ({ label: label ?? "", description: severity ?? "", detail: detail ?? "" }))
        // What is found at the cursor comes first.
        .sort((a, b) => Number(here.includes(b.label)) - Number(here.includes(a.label))),
    );
    rule = (await vscode.window.showQuickPick(choices, { placeHolder: "Which rule?", matchOnDetail: true }))?.label;
  }
  if (rule === undefined) {
    return;
  }
  const page = rulePage(rule);
  try {
    await vscode.commands.executeCommand("markdown.showPreviewToSide", page);
  } catch {
    // An editor without a preview shows the page's text.
    await vscode.window.showTextDocument(page, { viewColumn: vscode.ViewColumn.Beside, preserveFocus: true, preview: true });
  }
}

async function notes(): Promise<void> {
  const editor = activeScore();
  if (editor !== undefined) {
    const page = await vscode.workspace.openTextDocument(notesPage(editor.document.uri));
    await vscode.window.showTextDocument(page, { viewColumn: vscode.ViewColumn.Beside, preserveFocus: true, preview: true });
  }
}

/** Makes all commands known. */
export function registerCommands(server: Server, log: vscode.LogOutputChannel): vscode.Disposable {
  return vscode.Disposable.from(
    vscode.commands.registerCommand("bellhand.example", openExample),
    vscode.commands.registerCommand("bellhand.newPart", newPart),
    vscode.commands.registerCommand("bellhand.fixAll", fixAll),
    vscode.commands.registerCommand("bellhand.explain", (rule?: unknown) => explain(server, rule)),
    vscode.commands.registerCommand("bellhand.chooseRules", () => vscode.commands.executeCommand("workbench.action.openSettings", "@ext:bellhand.bellhand bellhand.rule.")),
    vscode.commands.registerCommand("bellhand.notes", notes),
    vscode.commands.registerCommand("bellhand.rewrite", (horn?: unknown) => rewrite(server, horn)),
    vscode.commands.registerCommand("bellhand.restart", () => server.start()),
    vscode.commands.registerCommand("bellhand.showLog", () => log.show()),
  );
}
