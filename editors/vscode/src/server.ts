// The language server: starting it, starting it anew, and saying how it fares.

import * as vscode from "vscode";
import { LanguageClient, State } from "vscode-languageclient/node";
import { LANGUAGES } from "./languages";
import { findProgram, type Program } from "./program";
import { executing } from "./server-commands";
import { withRules } from "./rules";

/** The server of this window. */
export class Server implements vscode.Disposable {
  private client: LanguageClient | undefined;
  private program: Program | undefined;
  /** Starts and stops, one after the other. */
  private turn: Promise<void> = Promise.resolve();
  private readonly status: vscode.LanguageStatusItem;
  private readonly changed = new vscode.EventEmitter<void>();
  /** It answers again, or no longer. */
  readonly onDidChange = this.changed.event;

  constructor(
    private readonly extension: vscode.Uri,
    private readonly log: vscode.LogOutputChannel,
  ) {
    this.status = vscode.languages.createLanguageStatusItem("bellhand", [...LANGUAGES]);
    this.status.name = "bellhand";
    this.say("not started", vscode.LanguageStatusSeverity.Information);
  }

  /** The talk with it, while there is one. */
  get talk(): LanguageClient | undefined {
    return this.client;
  }

  /** The program in use. */
  get inUse(): Program | undefined {
    return this.program;
  }

  /** Starts the server, or starts it anew. */
  start(): Promise<void> {
    this.turn = this.turn.then(() => this.startNow());
    return this.turn;
  }

  /** Stops the server. */
  stop(): Promise<void> {
    this.turn = this.turn.then(() => this.stopNow());
    return this.turn;
  }

  dispose(): void {
    void this.stop();
    this.status.dispose();
    this.changed.dispose();
  }

  private async startNow(): Promise<void> {
    await this.stopNow();
    this.program = findProgram(this.extension);
    if (this.program === undefined) {
      this.say("no program to run", vscode.LanguageStatusSeverity.Error);
      const set = vscode.workspace.getConfiguration("bellhand").get<string>("path", "");
      void this.complain(set === "" ? "bellhand is not installed, and none came with the extension." : `bellhand.path: ${set} cannot be run.`);
      return;
    }
    this.log.info(`starting ${this.program.path} (found by: ${this.program.from})`);
    const client = new LanguageClient(
      "bellhand",
      "bellhand",
      { command: this.program.path, args: ["lsp"] },
      {
        documentSelector: [
          ...LANGUAGES.flatMap((language) => ["file", "untitled", "vscode-remote"].map((scheme) => ({ scheme, language }))),
          // What holds for scores, told and completed as it is written.
          ...["file", "vscode-remote"].map((scheme) => ({ scheme, pattern: "**/bellhand.toml" })),
        ],
        middleware: {
          executeCommand: executing(() => this.client),
          workspace: {
            // What has changed is told in the same words as what is asked for.
            didChangeConfiguration: async () =>
              this.client?.sendNotification("workspace/didChangeConfiguration", { settings: { bellhand: withRules(vscode.workspace.getConfiguration("bellhand")) } }),
            configuration: async (asked, token, next) => {
              const answers = await next(asked, token);
              return Array.isArray(answers) ? answers.map(withRules) : answers;
            },
          },
        },
        outputChannel: this.log,
        traceOutputChannel: this.log,
        // As it is asked for later, so that nothing is judged twice.
        initializationOptions: withRules(vscode.workspace.getConfiguration("bellhand")),
      },
    );
    this.client = client;
    client.onDidChangeState(({ newState }) => {
      if (newState === State.Starting) {
        this.say("starting", vscode.LanguageStatusSeverity.Information);
      } else if (newState === State.Running) {
        this.say(client.initializeResult?.serverInfo?.version ?? "running", vscode.LanguageStatusSeverity.Information);
      } else if (this.client === client) {
        this.say("stopped", vscode.LanguageStatusSeverity.Warning);
      }
    });
    try {
      await client.start();
    } catch (error) {
      this.log.error(`the server did not start: ${String(error)}`);
      this.say("did not start", vscode.LanguageStatusSeverity.Error);
      void this.complain("bellhand's server did not start.");
    }
  }

  private async stopNow(): Promise<void> {
    const client = this.client;
    this.client = undefined;
    if (client !== undefined) {
      try {
        await client.dispose();
      } catch (error) {
        // One that never ran, or has already gone, cannot be told to stop.
        this.log.warn(`the server was already gone: ${String(error)}`);
      }
    }
  }

  private async complain(what: string): Promise<void> {
    const chosen = await vscode.window.showErrorMessage(what, "Show the Log", "Settings");
    if (chosen === "Show the Log") {
      this.log.show();
    } else if (chosen === "Settings") {
      await vscode.commands.executeCommand("workbench.action.openSettings", "bellhand.path");
    }
  }

  private say(state: string, severity: vscode.LanguageStatusSeverity): void {
    this.status.text = `bellhand ${state}`;
    this.changed.fire();
    this.status.severity = severity;
    this.status.busy = state === "starting";
    if (this.program) {
      this.status.detail = { setting: "as set", workspace: "the workspace's own", PATH: "from the PATH", extension: "came with the extension" }[this.program.from];
    }
    this.status.command =
      severity === vscode.LanguageStatusSeverity.Information
        ? { command: "bellhand.showLog", title: "Log" }
        : { command: "bellhand.restart", title: "Restart" };
  }
}
