// A piece to try things on.

import * as vscode from "vscode";
import ferry from "../../../tests/demo/evening-ferry.abc";

/** Opens three horn parts with a composer's usual mistakes. */
export async function openExample(): Promise<void> {
  const document = await vscode.workspace.openTextDocument({ language: "abc", content: ferry });
  await vscode.window.showTextDocument(document, { viewColumn: vscode.ViewColumn.One });
}
