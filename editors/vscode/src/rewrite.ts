// Writing a part for another horn.

import * as vscode from "vscode";
import type { CodeAction, LanguageClient } from "vscode-languageclient/node";
import { isScore } from "./languages";
import type { Server } from "./server";
import { status } from "./status";

const CROOK = "refactor.rewrite.crook";

/** Says why nothing was written; whether something was is the command's answer. */
function instead(words: string): false {
  void vscode.window.showInformationMessage(words);
  return false;
}

/** Writes the part at the cursor, or all horn parts, for a horn that is chosen, or for the one named as in "horn in E flat". */
export async function rewrite(server: Server, named?: unknown): Promise<boolean> {
  const editor = vscode.window.activeTextEditor;
  if (editor === undefined || !isScore(editor.document.languageId)) {
    return instead("Open a score first.");
  }
  const client = server.talk;
  if (client === undefined || !client.isRunning()) {
    return instead("The server is not running, so nothing can be written for another horn.");
  }
  try {
    return await rewriteIn(client, editor, typeof named === "string" ? named : undefined);
  } catch (error) {
    // The server says itself what cannot be written or proven.
    void vscode.window.showErrorMessage(`The part stays as it is: ${error instanceof Error ? error.message : String(error)}`);
    return false;
  }
}

async function rewriteIn(client: LanguageClient, editor: vscode.TextEditor, named: string | undefined): Promise<boolean> {
  const { document } = editor;
  const known = await status(client, document, editor.selection.active);
  const part = known?.parts[known.part ?? -1];
  if (part === undefined) {
    return instead("There is no horn part in this score to write for another horn.");
  }
  const { version } = document;
  const actions = await client.sendRequest<(CodeAction & { kind?: string })[] | null>("textDocument/codeAction", {
    textDocument: client.code2ProtocolConverter.asTextDocumentIdentifier(document),
    range: part.head,
    context: { diagnostics: [], only: [CROOK] },
  });
  // Parts declared in one place are told apart by name; what is for all horn parts comes last.
  const own = `Write ${part.label} `;
  const all = /^Write (?=all \d+ horn parts )/;
  const crooks = (actions ?? []).filter(({ kind }) => kind === CROOK);
  const choices = [
    ...crooks.filter(({ title }) => title.startsWith(own)).map((action) => ({ label: action.title.slice(own.length).replace(/^for /, ""), action })),
    ...crooks.filter(({ title }) => all.test(title)).map((action) => ({ label: action.title.replace(all, ""), action })),
  ];
  if (choices.length === 0) {
    return instead(`This program does not offer to write ${part.label} for another horn; a newer one does, and so does \`bellhand rewrite\`.`);
  }
  const chosen =
    named === undefined
      ? await vscode.window.showQuickPick(choices, { placeHolder: `${part.label} is written for ${part.crook}. What is it to be written for?` })
      : choices.find(({ label }) => label === named);
  if (chosen === undefined) {
    return named === undefined ? false : instead(`${part.label} cannot be written for ${named}: that is no horn known here, or the one it is for already.`);
  }
  const whole = await client.sendRequest<CodeAction>("codeAction/resolve", chosen.action);
  if (document.version !== version) {
    return instead("The text has changed in the meantime; ask again.");
  }
  const edit = await client.protocol2CodeConverter.asWorkspaceEdit(whole.edit);
  return edit !== undefined && vscode.workspace.applyEdit(edit);
}
