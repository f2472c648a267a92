// What of the Language Server Protocol the desk speaks.

import type { Range } from "../../../vscode/src/panel/protocol";

export type { Whole, Pitch, Place, Position, Range } from "../../../vscode/src/panel/protocol";

/** A finding as the server sends it. */
export interface Diagnostic {
  readonly range: Range;
  readonly severity?: 1 | 2 | 3 | 4;
  readonly code?: string | number;
  readonly message: string;
  readonly relatedInformation?: readonly { readonly location: { readonly range: Range }; readonly message: string }[];
  readonly data?: { readonly part?: string | null; readonly player?: number | null; readonly bar?: number | null };
}

/** An edit of the text. */
export interface TextEdit {
  readonly range: Range;
  readonly newText: string;
}

/** Something that can be done, its edits perhaps not worked out yet. */
export interface CodeAction {
  readonly title: string;
  readonly kind?: string;
  readonly isPreferred?: boolean;
  readonly diagnostics?: readonly Diagnostic[];
  readonly edit?: { readonly documentChanges?: readonly { readonly textDocument: { readonly version: number | null }; readonly edits: readonly TextEdit[] }[] };
}

/** Something that can be written at the cursor. */
export interface CompletionItem {
  readonly label: string;
  readonly detail?: string;
  readonly documentation?: string | { readonly value: string };
  readonly insertText?: string;
  readonly textEdit?: TextEdit;
}

/** What is to be known of what stands at a place. */
export interface Hover {
  readonly contents: { readonly value: string };
  readonly range?: Range;
}

/** What the server can do, as far as the desk asks. */
export interface Capabilities {
  readonly completionProvider?: { readonly triggerCharacters?: readonly string[]; readonly resolveProvider?: boolean };
}

/** What the desk says it can do. */
export const CLIENT = {
  processId: null,
  rootUri: null,
  clientInfo: { name: "bellhand desk" },
  capabilities: {
    general: { positionEncodings: ["utf-16"] },
    textDocument: {
      synchronization: {},
      publishDiagnostics: { relatedInformation: true, versionSupport: true, dataSupport: true },
      hover: { contentFormat: ["plaintext"] },
      completion: { completionItem: { documentationFormat: ["plaintext"] } },
      codeAction: {
        codeActionLiteralSupport: { codeActionKind: { valueSet: ["quickfix"] } },
        isPreferredSupport: true,
        dataSupport: true,
        resolveSupport: { properties: ["edit"] },
      },
    },
    workspace: { workspaceEdit: { documentChanges: true } },
  },
} as const;

/** Whether two findings are the same. */
export function same(one: Diagnostic, other: Diagnostic): boolean {
  const at = ({ start, end }: Range) => [start.line, start.character, end.line, end.character].join();
  return one.code === other.code && one.message === other.message && at(one.range) === at(other.range);
}

