// What the server would have done by plain editors, done here as this editor does it.

import * as vscode from "vscode";
import type { LanguageClient, Middleware } from "vscode-languageclient/node";

type Execute = NonNullable<Middleware["executeCommand"]>;

/** Opens the panel where the server would draw a file, and asks with a list where it would ask with buttons. */
export function executing(client: () => LanguageClient | undefined): Execute {
  return async (command, args: unknown[], next) => {
    const own = { "bellhand.openPicture": "bellhand.panel", "bellhand.writeFor": "bellhand.rewrite" }[command];
    const talk = client();
    const [address, position] = args;
    if (own === undefined || talk === undefined || typeof address !== "string" || !isPosition(position)) {
      return next(command, args);
    }
    const document = await vscode.workspace.openTextDocument(talk.protocol2CodeConverter.asUri(address));
    const editor = await vscode.window.showTextDocument(document);
    const at = talk.protocol2CodeConverter.asPosition(position);
    editor.selection = new vscode.Selection(at, at);
    return vscode.commands.executeCommand(own);
  };
}

function isPosition(value: unknown): value is { line: number; character: number } {
  return typeof value === "object" && value !== null && "line" in value && "character" in value;
}
