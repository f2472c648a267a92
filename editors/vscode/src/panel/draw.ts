// Asking the server for what is seen of a picture.

import * as vscode from "vscode";
import { ErrorCodes, LSPErrorCodes, type LanguageClient, ResponseError } from "vscode-languageclient/node";
import { LINES, type Picture, type Look } from "./protocol";

/** A picture, words instead of one, or nothing since the text has moved on. */
export type Drawn = { readonly picture: Picture } | { readonly words: string } | undefined;

/** How the picture is to be. */
export interface Wished extends Look {
  /** In pixels; `undefined` before the page has told. */
  readonly width: number | undefined;
  /** The first and the last line; those around the position when it is not known which are seen. */
  readonly lines: readonly [number, number] | undefined;
}

const NO_HORN =
  'There is no horn part in this score. A part is a horn\'s when its name says so, as "Horn 1 in F" does, or a comment: % bellhand: part 2 = horn in E flat';

/** Asks for the picture of the part at a position. */
export async function draw(client: LanguageClient | undefined, document: vscode.TextDocument, at: vscode.Position, wished: Wished, token: vscode.CancellationToken): Promise<Drawn> {
  if (client === undefined || !client.isRunning()) {
    return { words: "The server is not running, so there is no picture. The log tells more (bellhand: Show the Log)." };
  }
  const params = {
    textDocument: client.code2ProtocolConverter.asTextDocumentIdentifier(document),
    position: client.code2ProtocolConverter.asPosition(at),
    ...wished,
  };
  try {
    const picture = await client.sendRequest<Picture | null>(LINES, params, token);
    return picture === null ? { words: NO_HORN } : { picture };
  } catch (error) {
    const code = error instanceof ResponseError ? error.code : undefined;
    if (code === LSPErrorCodes.ContentModified || code === LSPErrorCodes.RequestCancelled || code === LSPErrorCodes.ServerCancelled || token.isCancellationRequested) {
      return undefined;
    }
    if (code === ErrorCodes.MethodNotFound) {
      return { words: "This program draws no pictures yet; a newer one does. Which one is run is said in the setting bellhand.path." };
    }
    return { words: `The picture could not be drawn: ${error instanceof Error ? error.message : String(error)}` };
  }
}
