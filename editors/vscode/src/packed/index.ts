// What a packed score (.mxl) shows when it is opened: its parts as pictures, what is found in them, and the way to its text.

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
        webview.html = page(webview, uri, await pictured(program(), uri));
      },
    }),
  );
}

/** The page that the program makes of a score, with pictures and findings; where it makes none, a page that says why. */
async function pictured(program: Program | undefined, score: vscode.Uri): Promise<string> {
  if (program === undefined || score.scheme !== "file") {
    return plain(score, "What is wrong in it is said once it is unpacked.");
  }
  try {
    return await run(program, ["check", "--format", "html", path.basename(score.fsPath)], undefined, path.dirname(score.fsPath), FOUND);
  } catch (error) {
    return plain(score, error instanceof Error ? error.message : String(error));
  }
}

function plain(score: vscode.Uri, words: string): string {
  return `<!DOCTYPE html>
<html lang="en">
<head>
<meta charset="utf-8">
<title>Packed MusicXML</title>
</head>
<body>
<h1>${escaped(path.posix.basename(score.path))}</h1>
<pre>${escaped(words)}</pre>
</body>
</html>`;
}

/** A page with the way to the score's text above, which takes nothing from elsewhere and runs nothing. */
function page(webview: vscode.Webview, score: vscode.Uri, html: string): string {
  const command = `command:bellhand.unpack?${encodeURIComponent(JSON.stringify([score.toString()]))}`;
  const policy = `<meta http-equiv="Content-Security-Policy" content="default-src 'none'; style-src ${webview.cspSource} 'unsafe-inline'">`;
  const way = `<p>This score is packed, so no text can be shown or changed here. <a style="color:#0060c0;text-decoration:underline" href="${escaped(command)}">Unpack it beside this file</a>, and it is judged as you write.</p>`;
  // Only the first of each is the page's own; words of the score may stand behind.
  return html.replace("<head>", () => `<head>\n${policy}`).replace("<body>", () => `<body>\n${way}`);
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
