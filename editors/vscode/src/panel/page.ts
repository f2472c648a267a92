// The page that shows the picture: its frame, before anything is in it.

import { randomBytes } from "node:crypto";
import * as vscode from "vscode";
import type { Look } from "./protocol";

/** What of the extension's folder pages may load. */
export function resources(extension: vscode.Uri): vscode.Uri[] {
  return [vscode.Uri.joinPath(extension, "dist"), vscode.Uri.joinPath(extension, "media")];
}

const escaped = (text: string) => text.replace(/[&<>"']/g, (one) => `&#${one.charCodeAt(0)};`);

/** The page's HTML. Only our own script and style are run, and nothing is fetched from anywhere. */
export function html(webview: vscode.Webview, extension: vscode.Uri, look: Look): string {
  const nonce = randomBytes(18).toString("base64");
  const address = (...parts: string[]) => webview.asWebviewUri(vscode.Uri.joinPath(extension, ...parts)).toString();
  const policy = `default-src 'none'; style-src ${webview.cspSource}; script-src 'nonce-${nonce}'`;
  return `<!DOCTYPE html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta http-equiv="Content-Security-Policy" content="${escaped(policy)}">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>Horn part</title>
<link rel="stylesheet" href="${escaped(address("media", "panel.css"))}">
</head>
<body>
<header id="bellhand-controls">
<h1 id="bellhand-part"></h1>
<button id="bellhand-pitch" type="button" aria-pressed="${look.pitch === "sounding"}" title="Shows the pitches that sound instead of those the player reads">Sounding pitch</button>
<button id="bellhand-effort" type="button" aria-pressed="${look.effort}" title="Shows below each line how much of the breath is spent, and what the lip has borne">Breath and lip</button>
</header>
<p id="bellhand-words" role="status"></p>
<main id="bellhand-picture"></main>
<script nonce="${nonce}" src="${escaped(address("dist", "panel.js"))}"></script>
</body>
</html>`;
}
