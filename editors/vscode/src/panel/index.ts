// The picture of a part: opening its panel, and opening it again after a reload.
//
// It is a panel beside the score and not a view in the side bar: music runs in lines as wide as the page, and it is
// read next to the text it is made from.

import * as vscode from "vscode";
import { isScore } from "../languages";
import type { Server } from "../server";
import { resources } from "./page";
import { Panel } from "./panel";
import { kept } from "./protocol";

const TYPE = "bellhand.panel";

/** The one panel of this window. */
export class Panels implements vscode.Disposable {
  private open: Panel | undefined;
  private readonly registered: vscode.Disposable;

  constructor(
    private readonly extension: vscode.Uri,
    private readonly server: Server,
  ) {
    this.registered = vscode.Disposable.from(
      vscode.commands.registerCommand("bellhand.panel", () => this.show()),
      vscode.window.registerWebviewPanelSerializer(TYPE, {
        deserializeWebviewPanel: async (panel, state) => {
          const found = kept(state);
          if (found === undefined || this.open !== undefined) {
            panel.dispose();
            return;
          }
          this.take(new Panel(panel, extension, server, vscode.Uri.parse(found.score, true), found));
        },
      }),
    );
  }

  /** The panel that is open. */
  get current(): Panel | undefined {
    return this.open;
  }

  dispose(): void {
    this.registered.dispose();
    this.open?.dispose();
  }

  private show(): void {
    const editor = vscode.window.activeTextEditor;
    if (editor === undefined || !isScore(editor.document.languageId)) {
      void vscode.window.showInformationMessage("Open a score first.");
      return;
    }
    if (this.open !== undefined) {
      this.open.reveal(editor);
      return;
    }
    const options = { enableScripts: true, localResourceRoots: resources(this.extension), enableFindWidget: true };
    const panel = vscode.window.createWebviewPanel(TYPE, "Horn Part", { viewColumn: vscode.ViewColumn.Beside, preserveFocus: true }, options);
    this.take(new Panel(panel, this.extension, this.server, editor.document.uri, { pitch: "written", effort: true }));
  }

  private take(panel: Panel): void {
    this.open = panel;
    panel.onDidClose(() => {
      if (this.open === panel) {
        this.open = undefined;
      }
    });
  }
}
