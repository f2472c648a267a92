// What a packed score (.mxl) shows when it is opened: what is found in it, and the way to its text.

import * as path from "node:path";
import * as vscode from "vscode";
import { type Program, run } from "../program";
import { unpack } from "./unpack";

const TYPE = "bellhand.packed";

/** The exit code of a check that has found something. */
const FOUND = 1;

const escaped = (text: string) => text.replace(/[&<>"']/g, (one) => `&#${one.charCodeAt(0)};`);

/** Makes the view and its command known. */
export function registerPacked(program: () => Program | undefined): vscode.Disposable {
  return vscode.Disposable.from(
    vscode.commands.registerCommand("bellhand.unpack", (score?: unknown) => unpackBeside(score)),
    vscode.window.registerCustomEditorProvider(TYPE, {
      openCustomDocument: (uri) => ({ uri, dispose: () => undefined }),
      resolveCustomEditor: async ({ uri }, { webview }) => {
        webview.options = { enableCommandUris: ["bellhand.unpack"], localResourceRoots: [] };
        webview.html = page(webview, uri, await said(program(), uri));
      },
    }),
  );
}

/** What the command line says of the score. */
async function said(program: Program | undefined, score: vscode.Uri): Promise<string> {
  if (program === undefined || score.scheme !== "file") {
    return "What is wrong in it is said once it is unpacked.";
  }
  try {
    const words = await run(program, ["check", path.basename(score.fsPath)], undefined, path.dirname(score.fsPath), FOUND);
    return words.trim() || "Nothing was found that a player would stumble over.";
  } catch (error) {
    return error instanceof Error ? error.message : String(error);
  }
}

function page(webview: vscode.Webview, score: vscode.Uri, words: string): string {
  const command = `command:bellhand.unpack?${encodeURIComponent(JSON.stringify([score.toString()]))}`;
  return `<!DOCTYPE html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta http-equiv="Content-Security-Policy" content="default-src 'none'; style-src ${webview.cspSource} 'unsafe-inline'">
<title>Packed MusicXML</title>
</head>
<body>
<h1>${escaped(path.posix.basename(score.path))}</h1>
<p>This score is packed, so no text can be shown or changed here. <a href="${escaped(command)}">Unpack it beside this file</a>, and it is judged as you write.</p>
<pre>${escaped(words)}</pre>
</body>
</html>`;
}

/** Writes the score's text beside the archive, unless it is there already, and opens it. */
async function unpackBeside(score: unknown): Promise<void> {
  const named = typeof score === "string" ? vscode.Uri.parse(score, true) : score instanceof vscode.Uri ? score : undefined;
  if (named === undefined || !named.path.endsWith(".mxl")) {
    void vscode.window.showInformationMessage("Open a packed score (.mxl) first.");
    return;
  }
  const text = named.with({ path: named.path.replace(/\.mxl$/, ".musicxml") });
  try {
    const there = await vscode.workspace.fs.stat(text).then(
      () => true,
      () => false,
    );
    if (!there) {
      await vscode.workspace.fs.writeFile(text, unpack(Buffer.from(await vscode.workspace.fs.readFile(named))));
    }
    await vscode.window.showTextDocument(text);
  } catch (error) {
    void vscode.window.showErrorMessage(`The score could not be unpacked: ${error instanceof Error ? error.message : String(error)}`);
  }
}
