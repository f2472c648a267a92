// The languages that are judged, by the names that editor and server know them by.

import * as vscode from "vscode";

export const LANGUAGES = ["abc", "kern", "musicxml"] as const;

/** Whether a language is one that is judged. */
export function isScore(language: string): boolean {
  return (LANGUAGES as readonly string[]).includes(language);
}

/** The element that a score in MusicXML is, by part or by time. */
const ROOT = /<score-(?:partwise|timewise)\b/;

/** How far from the start of a file that element may stand, in lines and in characters. */
const LINES = 100;
const CHARACTERS = 65536;

/** Takes scores among the files called `.xml`, of which there are many kinds, for what they are; once, so that who wants it otherwise can have it so. */
export function findScores(): vscode.Disposable {
  const found = new Set<string>();
  const look = (document: vscode.TextDocument) => {
    const address = document.uri.toString();
    if (document.languageId === "xml" && !found.has(address) && ROOT.test(document.getText(new vscode.Range(0, 0, LINES, 0)).slice(0, CHARACTERS))) {
      found.add(address);
      void vscode.languages.setTextDocumentLanguage(document, "musicxml");
    }
  };
  vscode.workspace.textDocuments.forEach(look);
  return vscode.workspace.onDidOpenTextDocument(look);
}
