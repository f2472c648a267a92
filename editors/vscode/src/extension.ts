// Where the extension begins and ends.

import * as vscode from "vscode";
import { registerCommands } from "./commands";
import { findScores } from "./languages";
import { registerPacked } from "./packed";
import { Pages } from "./pages";
import { Panels } from "./panel";
import type { Shown } from "./panel/panel";
import type { Program } from "./program";
import { Server } from "./server";
import { ScoreStatus } from "./status";

let server: Server | undefined;

/** What other extensions may ask of this one. */
export interface Api {
  /** The program in use. */
  program(): Program | undefined;
  /** What the panel with the picture shows; `undefined` while it is closed. */
  picture(): Shown | undefined;
}

export async function activate(context: vscode.ExtensionContext): Promise<Api> {
  const log = vscode.window.createOutputChannel("bellhand", { log: true });
  const started = new Server(context.extensionUri, log);
  server = started;
  const panels = new Panels(context.extensionUri, started);
  context.subscriptions.push(
    log,
    started,
    new Pages(() => started.inUse),
    registerCommands(started, log),
    panels,
    registerPacked(() => started.inUse),
    new ScoreStatus(started),
    findScores(),
    vscode.workspace.onDidChangeConfiguration((event) => {
      // All else the server takes in while it runs.
      if (event.affectsConfiguration("bellhand.path")) {
        void started.start();
      }
    }),
    // A trusted workspace may bring its own program.
    vscode.workspace.onDidGrantWorkspaceTrust(() => void started.start()),
  );
  await started.start();
  return { program: () => started.inUse, picture: () => panels.current?.shows };
}

export async function deactivate(): Promise<void> {
  await server?.stop();
}
