// Talking with the language server about one text, which follows what is typed and is told anew to each connection.

import type { ChangeSet, Text } from "@codemirror/state";
import { Connection, LOST, Refused } from "./connection";
import { CLIENT, type Capabilities, type Diagnostic, type Position, type Range } from "./protocol";

/** How long changes are gathered before they are told, in milliseconds. */
const PAUSE = 150;

/** Who is told. */
interface Owner {
  /** What is found in the text as it stands now. */
  found(diagnostics: readonly Diagnostic[]): void;
  /** The server knows the text. */
  ready(): void;
  lost(why: string): void;
}

/** The place in a text that the protocol names. */
export function position(text: Text, at: number): Position {
  const line = text.lineAt(at);
  return { line: line.number - 1, character: at - line.from };
}

/** The place that the protocol names in a text. */
export function offset(text: Text, { line, character }: Position): number {
  if (line >= text.lines) {
    return text.length;
  }
  const { from, to } = text.line(line + 1);
  return Math.min(from + character, to);
}

/** The range from one place in the text to another. */
export function range(text: Text, from: number, to: number): Range {
  return { start: position(text, from), end: position(text, to) };
}

/** The talk about one text. */
export class Talk {
  capabilities: Capabilities = {};
  private readonly connection: Connection;
  private version = 0;
  private known = false;
  private pending: { readonly from: Text; changes: ChangeSet } | undefined;
  private timer: ReturnType<typeof setTimeout> | undefined;

  constructor(
    readonly uri: string,
    private readonly language: string,
    private text: Text,
    private readonly owner: Owner,
  ) {
    const address = new URL("/desk/talk", location.href);
    address.protocol = address.protocol.replace("http", "ws");
    this.connection = new Connection(address.href, {
      opened: () => void this.begin(),
      told: (method, params) => this.told(method, params),
      closed: (why) => {
        this.known = false;
        owner.lost(why);
      },
    });
  }

  /** The text was changed. */
  changed(changes: ChangeSet, from: Text, to: Text): void {
    this.text = to;
    this.pending = this.pending === undefined ? { from, changes } : { from: this.pending.from, changes: this.pending.changes.compose(changes) };
    clearTimeout(this.timer);
    this.timer = setTimeout(() => this.flush(), PAUSE);
  }

  /** Which text the server knows, by a number that no other text has; `undefined` while it does not know the one here. */
  get spoken(): number | undefined {
    return this.pending === undefined && this.known ? this.version : undefined;
  }

  /** Asks about the text as it stands now. `undefined` when there is no answer, or the text has moved on. */
  async ask<T>(method: string, params: object, signal?: AbortSignal): Promise<T | undefined> {
    if (!this.known) {
      return undefined;
    }
    this.flush();
    const spoken = this.version;
    try {
      const answer = await this.connection.ask<T>(method, { textDocument: { uri: this.uri }, ...params }, signal);
      return spoken === this.version && this.pending === undefined ? answer : undefined;
    } catch (error) {
      if (error instanceof Refused) {
        return undefined;
      }
      throw error;
    }
  }

  /** Asks for something that may be refused in words. */
  async request<T>(method: string, params: object): Promise<{ readonly answer: T } | { readonly refused: string }> {
    try {
      return { answer: await this.connection.ask<T>(method, params) };
    } catch (error) {
      const lost = error instanceof Refused && error.code === LOST;
      return { refused: lost ? "The connection is lost; try it again in a moment." : error instanceof Error ? error.message : String(error) };
    }
  }

  /** Ends it. */
  close(): void {
    clearTimeout(this.timer);
    this.connection.close();
  }

  private async begin(): Promise<void> {
    try {
      const { capabilities } = await this.connection.ask<{ capabilities: Capabilities }>("initialize", CLIENT);
      this.capabilities = capabilities;
    } catch {
      return;
    }
    this.connection.tell("initialized", {});
    this.pending = undefined;
    this.version += 1;
    this.known = true;
    this.connection.tell("textDocument/didOpen", { textDocument: { uri: this.uri, languageId: this.language, version: this.version, text: this.text.toString() } });
    this.owner.ready();
  }

  private flush(): void {
    clearTimeout(this.timer);
    const { pending } = this;
    if (pending === undefined || !this.known) {
      return;
    }
    this.pending = undefined;
    const contentChanges: { range: Range; text: string }[] = [];
    pending.changes.iterChanges((from, to, _, __, inserted) => contentChanges.push({ range: range(pending.from, from, to), text: inserted.toString() }));
    this.version += 1;
    // From the last to the first, none moves another.
    this.connection.tell("textDocument/didChange", { textDocument: { uri: this.uri, version: this.version }, contentChanges: contentChanges.reverse() });
  }

  private told(method: string, params: unknown): void {
    if (method !== "textDocument/publishDiagnostics") {
      return;
    }
    const { uri, version, diagnostics } = params as { uri: string; version?: number; diagnostics: readonly Diagnostic[] };
    if (uri === this.uri && version === this.version && this.pending === undefined) {
      this.owner.found(diagnostics);
    }
  }
}
