// One panel with the picture of the horn part at the cursor, and what keeps it and the text together.

import * as vscode from "vscode";
import { isScore } from "../languages";
import type { Server } from "../server";
import { draw } from "./draw";
import { html, resources } from "./page";
import { noteAt } from "./places";
import type { FromPage, Look, Picture, ToPage } from "./protocol";
import { sound } from "./sound";

/** How long a change waits for the next one before the picture is asked for, in milliseconds: less than between two keys. */
const PAUSE = 20;
/** How long a text that moved on while it was asked about is left in peace, in milliseconds. */
const AGAIN = 400;

/** What the page shows. */
export interface Shown {
  readonly current: string | null;
  readonly picture: Picture | undefined;
  readonly words: string | undefined;
}

/** A picture, and what it was made from. */
interface Made {
  readonly picture: Picture;
  readonly score: string;
  readonly version: number;
  readonly look: Look;
}

/** A panel, from its opening to its closing. */
export class Panel {
  private readonly disposables: vscode.Disposable[] = [];
  private readonly closed = new vscode.EventEmitter<void>();
  readonly onDidClose = this.closed.event;
  private made: Made | undefined;
  /** What the page was told last, for a page that is loaded again. */
  private told: ToPage | undefined;
  private width: number | undefined;
  /** The first and the last line that the page needs. */
  private view: readonly [number, number] | undefined;
  private timer: NodeJS.Timeout | undefined;
  private asking: vscode.CancellationTokenSource | undefined;
  /** Where the selection began last, for when the text's editor is not the active one. */
  private at = new vscode.Position(0, 0);

  constructor(
    private readonly panel: vscode.WebviewPanel,
    extension: vscode.Uri,
    private readonly server: Server,
    private score: vscode.Uri,
    private look: Look,
  ) {
    panel.iconPath = { light: vscode.Uri.joinPath(extension, "media", "panel-light.svg"), dark: vscode.Uri.joinPath(extension, "media", "panel-dark.svg") };
    panel.webview.options = { enableScripts: true, localResourceRoots: resources(extension) };
    this.disposables.push(
      this.closed,
      panel.webview.onDidReceiveMessage((message: FromPage) => void this.take(message)),
      panel.onDidDispose(() => this.dispose()),
      vscode.workspace.onDidChangeTextDocument(({ document }) => {
        if (document.uri.toString() === this.score.toString()) {
          this.later(PAUSE);
        }
      }),
      vscode.window.onDidChangeTextEditorSelection(({ textEditor }) => this.follow(textEditor)),
      vscode.window.onDidChangeActiveTextEditor((editor) => editor && this.follow(editor)),
      server.onDidChange(() => this.later(PAUSE)),
      vscode.languages.onDidChangeDiagnostics(({ uris }) => {
        // Other settings judge the same text otherwise.
        if (this.made !== undefined && uris.some((uri) => uri.toString() === this.score.toString())) {
          this.later(PAUSE);
        }
      }),
    );
    const editor = this.editor();
    if (editor !== undefined) {
      this.at = editor.selection.start;
    }
    panel.webview.html = html(panel.webview, extension, look);
  }

  /** Brings the panel to the front, with the part at this editor's cursor. */
  reveal(editor: vscode.TextEditor): void {
    this.panel.reveal(undefined, true);
    this.follow(editor);
  }

  /** What the page shows. */
  get shows(): Shown {
    const { told } = this;
    return {
      current: told?.kind === "picture" ? (told.current?.id ?? null) : null,
      picture: this.made?.picture,
      words: told?.kind === "words" ? told.words : undefined,
    };
  }

  dispose(): void {
    clearTimeout(this.timer);
    this.asking?.cancel();
    this.closed.fire();
    for (const one of this.disposables.splice(0)) {
      one.dispose();
    }
    this.panel.dispose();
  }

  private editor(): vscode.TextEditor | undefined {
    const of = (editor: vscode.TextEditor | undefined) => editor?.document.uri.toString() === this.score.toString();
    return of(vscode.window.activeTextEditor) ? vscode.window.activeTextEditor : vscode.window.visibleTextEditors.find(of);
  }

  private cursor(document: vscode.TextDocument): vscode.Position {
    return document.validatePosition(this.editor()?.selection.start ?? this.at);
  }

  /** The cursor is elsewhere, perhaps in another score. */
  private follow(editor: vscode.TextEditor): void {
    const { document } = editor;
    if (!isScore(document.languageId)) {
      return;
    }
    const other = document.uri.toString() !== this.score.toString();
    this.score = document.uri;
    this.at = editor.selection.start;
    if (other) {
      this.view = undefined;
    }
    if (!other && this.made?.version === document.version) {
      const note = noteAt(this.made.picture.places, this.at);
      if (note !== undefined) {
        this.mark(note.id);
        return;
      }
    }
    // Another part, or none, may stand there.
    this.later(other ? 0 : PAUSE);
  }

  private mark(current: string | null): void {
    if (this.told?.kind !== "picture") {
      return;
    }
    const { first } = this.told;
    this.told = { ...this.told, current: current === null ? null : { id: current, line: first } };
    void this.panel.webview.postMessage({ kind: "current", current } satisfies ToPage);
  }

  private later(pause: number): void {
    clearTimeout(this.timer);
    this.timer = setTimeout(() => void this.ask(), pause);
  }

  private async ask(): Promise<void> {
    this.asking?.cancel();
    const asking = new vscode.CancellationTokenSource();
    this.asking = asking;
    try {
      const document = await vscode.workspace.openTextDocument(this.score);
      const { version } = document;
      const { look } = this;
      const score = this.score.toString();
      const at = this.cursor(document);
      const drawn = await draw(this.server.talk, document, at, { ...look, width: this.width, lines: this.view }, asking.token);
      if (asking.token.isCancellationRequested || score !== this.score.toString() || look !== this.look) {
        return;
      }
      if (drawn === undefined || document.version !== version) {
        // A change asks again by itself; this is for a text that moved on by another way.
        this.later(AGAIN);
      } else if ("words" in drawn) {
        this.made = undefined;
        this.tell({ kind: "words", words: drawn.words });
      } else {
        const { picture } = drawn;
        const now = this.cursor(document);
        // What was asked before the cursor moved must not take back what was marked since.
        const current = now.isEqual(at) ? picture.current : noteNear(picture, now);
        this.show({ picture: { ...picture, current }, score, version, look });
        if (current === null && !now.isEqual(at)) {
          this.later(0);
        }
      }
    } catch (error) {
      this.made = undefined;
      this.tell({ kind: "words", words: `The score could not be opened: ${error instanceof Error ? error.message : String(error)}` });
    } finally {
      asking.dispose();
      if (this.asking === asking) {
        this.asking = undefined;
      }
    }
  }

  private show(next: Made): void {
    const before = this.made;
    this.made = next;
    const { score, look, picture } = next;
    if (before !== undefined && (before.score !== score || before.version !== next.version || before.picture.part !== picture.part)) {
      void this.panel.webview.postMessage({ kind: "silence" } satisfies ToPage);
    }
    if (before !== undefined && before.score === score && before.look === look && same(before.picture, picture) && isDrawn(picture)) {
      this.mark(picture.current?.id ?? null);
      return;
    }
    this.panel.title = picture.part;
    this.tell({ kind: "picture", ...picture, places: picture.places.map(({ id, label }) => ({ id, label })), score, ...look });
  }

  private tell(message: ToPage): void {
    this.told = message;
    void this.panel.webview.postMessage(message);
  }

  private async take(message: FromPage): Promise<void> {
    if (message.kind === "ready") {
      if (this.told !== undefined) {
        void this.panel.webview.postMessage(this.told);
      }
      this.width = message.width;
      this.later(0);
    } else if (message.kind === "width") {
      this.width = message.width;
      this.later(0);
    } else if (message.kind === "view") {
      this.view = [message.first, message.last];
      this.later(0);
    } else if (message.kind === "look") {
      this.look = message.look;
      this.later(0);
    } else if (message.kind === "sound") {
      const document = await vscode.workspace.openTextDocument(this.score);
      const heard = await sound(this.server.talk, document, this.cursor(document));
      void this.panel.webview.postMessage({ kind: "sound", heard } satisfies ToPage);
    } else {
      await this.go(message.id, message.enter);
    }
  }

  /** Selects the text of an element. */
  private async go(id: string, enter: boolean): Promise<void> {
    const place = this.made?.picture.places.find((one) => one.id === id);
    if (place === undefined || this.made === undefined) {
      return;
    }
    const { start, end } = place.range;
    const range = new vscode.Range(start.line, start.character, end.line, end.character);
    const editor = this.editor();
    const document = editor?.document ?? (await vscode.workspace.openTextDocument(this.score));
    if (document.version !== this.made.version) {
      // The text has moved under the picture; the new one is on its way.
      return;
    }
    if (editor !== undefined && !enter) {
      editor.selection = new vscode.Selection(range.start, range.end);
      editor.revealRange(range, vscode.TextEditorRevealType.InCenterIfOutsideViewport);
      return;
    }
    const viewColumn = editor?.viewColumn ?? vscode.ViewColumn.One;
    await vscode.window.showTextDocument(document, { viewColumn, preserveFocus: !enter, selection: range });
  }
}

/** The note at a position, where it is drawn. */
function noteNear({ places, first }: Picture, at: vscode.Position): Picture["current"] {
  const note = noteAt(places, at);
  return note === undefined ? null : { id: note.id, line: first };
}

/** Whether the note at the cursor, if there is one, stands on a line that is drawn. */
function isDrawn({ current, places }: Picture): boolean {
  return current === null || places.some(({ id }) => id === current.id);
}

/** Whether two pictures look and read the same. */
function same(a: Picture, b: Picture): boolean {
  const all = <T>(one: readonly T[], other: readonly T[], alike: (a: T, b: T) => boolean) => one.length === other.length && one.every((a, at) => alike(a, other[at] as T));
  return (
    a.part === b.part &&
    a.first === b.first &&
    a.head === b.head &&
    a.foot === b.foot &&
    all(a.drawn, b.drawn, (a, b) => a === b) &&
    all(a.places, b.places, (a, b) => a.id === b.id && a.label === b.label) &&
    all(a.lines, b.lines, (a, b) => String(a.bars) === String(b.bars) && a.notes === b.notes && a.findings === b.findings)
  );
}
