// A new horn part from nothing.

import * as vscode from "vscode";

const NOTATIONS = [
  { label: "ABC", language: "abc", detail: "The shortest to type" },
  { label: "MusicXML", language: "musicxml", detail: "What most programs exchange" },
  { label: "Humdrum", language: "kern", detail: "Parts side by side, in columns" },
] as const;

/** Opens an empty score in a notation that is chosen, and what can stand in it: parts for one horn, two or four. */
export async function newPart(language?: unknown): Promise<void> {
  const named = NOTATIONS.find((notation) => notation.language === language);
  const chosen = named ?? (await vscode.window.showQuickPick(NOTATIONS, { placeHolder: "In which notation?" }));
  if (chosen === undefined) {
    return;
  }
  const document = await vscode.workspace.openTextDocument({ language: chosen.language });
  await vscode.window.showTextDocument(document);
  await vscode.commands.executeCommand("editor.action.triggerSuggest");
}
