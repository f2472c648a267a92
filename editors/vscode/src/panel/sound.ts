// Asking the server for what is to be heard of a part.

import type * as vscode from "vscode";
import type { LanguageClient } from "vscode-languageclient/node";
import { type Heard, SOUND } from "./protocol";

/** What is to be heard of the part at a position; words where nothing is, `null` where the text has moved on. */
export async function sound(client: LanguageClient | undefined, document: vscode.TextDocument, at: vscode.Position): Promise<Heard | string | null> {
  if (client === undefined || !client.isRunning()) {
    return "The server is not running, so there is nothing to be heard.";
  }
  const { version } = document;
  const params = {
    textDocument: client.code2ProtocolConverter.asTextDocumentIdentifier(document),
    position: client.code2ProtocolConverter.asPosition(at),
  };
  try {
    const heard = await client.sendRequest<Heard | null>(SOUND, params);
    return heard ?? "There is no horn part in this score.";
  } catch (error) {
    return document.version === version ? `The part cannot be heard: ${error instanceof Error ? error.message : String(error)}` : null;
  }
}
