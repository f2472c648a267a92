// Where the extension begins and ends.

import * as vscode from "vscode";
import { registerCommands } from "./commands";
import { Pages } from "./pages";
import type { Program } from "./program";
import { Server } from "./server";

let server: Server | undefined;

/** What other extensions may ask of this one. */
export interface Api {
  /** The program in use. */
  program(): Program | undefined;
}

export async function activate(context: vscode.ExtensionContext): Promise<Api> {
  const log = vscode.window.createOutputChannel("bellhand", { log: true });
  const started = new Server(context.extensionUri, log);
  server = started;
  context.subscriptions.push(
    log,
    started,
    new Pages(() => started.inUse),
    registerCommands(started, log),
    vscode.workspace.onDidChangeConfiguration((event) => {
      if (event.affectsConfiguration("bellhand.path") || event.affectsConfiguration("bellhand.inlayHints")) {
        void started.start();
      }
    }),
    // A trusted workspace may bring its own program.
    vscode.workspace.onDidGrantWorkspaceTrust(() => void started.start()),
  );
  await started.start();
  return { program: () => started.inUse };
}

export async function deactivate(): Promise<void> {
  await server?.stop();
}
