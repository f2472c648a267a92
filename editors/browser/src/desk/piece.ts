// One piece on the desk: its text, what is found in it, its picture, and its saving.

import { element } from "../shared/dom";
import { open, state } from "./ask";
import { chooseBetween } from "./choice";
import type { Lesson, Piece, Text } from "./contract";
import { Drafts } from "./drafts";
import { Editor } from "./editor";
import { enterAgain } from "./enter";
import { Findings } from "./findings";
import { Part } from "./part";
import type { CompletionItem, Diagnostic, Hover } from "./protocol";
import { Saving, type Standing } from "./saving";
import { Talk, position } from "./talk";
import { tasks } from "./tasks";

/** The rest of the page, as far as a piece tells it something. */
export interface Page {
  standing(standing: Standing): void;
  /** Says something once. */
  say(words: string): void;
  /** Nothing is heard from the program, and why; or it is heard again. */
  lost(why: string | undefined): void;
  /** Opens what is open anew. */
  again(): void;
}

/** A piece that is open. */
export class Desk {
  readonly parts: readonly HTMLElement[];
  private readonly editor: Editor;
  private readonly talk: Talk;
  private readonly part: Part;
  private readonly saving: Saving;
  private readonly findings: Findings;
  private entering = false;

  private constructor(
    private readonly student: string,
    private readonly piece: Piece,
    opened: Text,
    text: string,
    drafts: Drafts,
    lesson: Lesson | undefined,
    private readonly page: Page,
  ) {
    // The editor knows one line end; the file keeps its own.
    const end = opened.text.includes("\r\n") ? "\r\n" : "\n";
    const stored = () => this.editor.text.toString().replaceAll("\n", end);
    const paper = element("div", { class: "paper" });
    this.editor = new Editor(paper, text, piece.notation, `The text of ${piece.file}`, {
      changed: (changes, from, to) => {
        this.talk.changed(changes, from, to);
        this.saving.changed(stored());
      },
      moved: () => this.part.moved(),
      about: (at) => this.about(at),
      items: (at, typed) => this.items(at, typed),
      act: () => this.findings.goTo(this.editor.cursor),
    });
    this.talk = new Talk(`desk:/${piece.id}/${encodeURIComponent(piece.file)}`, piece.notation, this.editor.text, {
      found: (diagnostics) => this.found(diagnostics),
      ready: () => {
        page.lost(undefined);
        this.part.later();
      },
      lost: (why) => void this.lost(why),
    });
    this.part = new Part(this.talk, this.editor);
    this.findings = new Findings(this.talk, this.editor, (words) => page.say(words));
    const keys = piece.notation === "kern" ? "Tab writes a tab; Escape, then Tab leads out of the text. " : "";
    const help = element("p", { class: "quiet keys" }, `${keys}F8 leads to the next finding, Ctrl+. (⌘.) to what can be done about it, Ctrl+Z (⌘Z) undoes.`);
    this.parts = [
      element("section", { class: "text", "aria-label": "Text" }, paper, help),
      element("div", { class: "beside" }, ...(lesson === undefined ? [] : [tasks(lesson)]), this.part.section, this.findings.section),
    ];
    this.saving = new Saving(piece.id, drafts, opened, stored(), {
      standing: (standing) => page.standing(standing),
      choose: (mine, other) =>
        chooseBetween({
          heading: "Another window has written this piece",
          why: "Its text is not the one here. Choose which is to stay; Undo in the text brings the other back.",
          mine: { title: "Here", text: mine, choose: "Keep what stands here" },
          other: { title: "In the other window", text: other.text, choose: "Take the other one" },
        }),
      replace: (other) => this.editor.replace(other),
      enterAgain: () => void this.again(),
    });
  }

  /** Opens a piece; gives back words when that cannot be done, and `undefined` when the student has to enter again. */
  static async open(student: string, piece: Piece, lesson: Lesson | undefined, page: Page): Promise<Desk | string | undefined> {
    const outcome = await open(piece.id);
    if ("failed" in outcome) {
      const { why, words } = outcome.failed;
      return why === "left" ? undefined : words;
    }
    const { done: opened } = outcome;
    const drafts = new Drafts(student, piece.file);
    const text = await unsaved(drafts, opened);
    const desk = new Desk(student, piece, opened, text, drafts, lesson, page);
    if (text !== opened.text) {
      drafts.keep({ text, etag: opened.etag });
    }
    return desk;
  }

  focus(): void {
    this.editor.view.focus();
  }

  close(): void {
    this.saving.close();
    this.part.close();
    this.talk.close();
    this.editor.destroy();
  }

  private found(diagnostics: readonly Diagnostic[]): void {
    this.editor.underline(diagnostics);
    this.findings.show(diagnostics);
    this.part.later();
  }

  private async about(at: number): Promise<string | undefined> {
    const hover = await this.talk.ask<Hover | null>("textDocument/hover", { position: position(this.editor.text, at) });
    return hover?.contents.value;
  }

  private async items(at: number, typed: string | undefined): Promise<readonly CompletionItem[] | undefined> {
    const provider = this.talk.capabilities.completionProvider;
    if (provider === undefined || (typed !== undefined && provider.triggerCharacters?.includes(typed) !== true)) {
      return undefined;
    }
    const context = typed === undefined ? { triggerKind: 1 } : { triggerKind: 2, triggerCharacter: typed };
    const answer = await this.talk.ask<readonly CompletionItem[] | { readonly items: readonly CompletionItem[] } | null>("textDocument/completion", {
      position: position(this.editor.text, at),
      context,
    });
    return answer !== null && answer !== undefined && "items" in answer ? answer.items : (answer ?? undefined);
  }

  private async lost(why: string): Promise<void> {
    this.page.lost(why);
    const known = await state();
    if ("failed" in known && known.failed.why === "left") {
      await this.again();
    }
  }

  /** The student enters again, and the piece is opened anew: the program may know it by another id now. */
  private async again(): Promise<void> {
    if (this.entering) {
      return;
    }
    this.entering = true;
    this.saving.stop("Not saved: the class has begun anew. What you write is kept in this browser.");
    await enterAgain(this.student);
    const known = await state();
    if ("failed" in known || known.done.pieces.some(({ file }) => file === this.piece.file)) {
      this.page.again();
    } else {
      this.saving.stop(`Not saved: ${this.piece.file} is not among your pieces any more. What you write is kept in this browser.`);
    }
  }
}

/** What the editor begins with: what the program has, or what was typed in this browser and never saved. */
async function unsaved(drafts: Drafts, opened: Text): Promise<string> {
  const mine = drafts.mine();
  if (mine !== undefined && mine.text === opened.text) {
    drafts.forget();
  } else if (mine !== undefined && mine.etag === opened.etag) {
    return mine.text;
  } else if (mine !== undefined) {
    const chosen = await chooseBetween({
      heading: "This piece was written elsewhere meanwhile",
      why: "What you typed here was not saved before. Choose which is to stay.",
      mine: { title: "Typed here, not saved", text: mine.text, choose: "Keep what I typed" },
      other: { title: "Saved", text: opened.text, choose: "Take what is saved" },
    });
    if (chosen === "other") {
      drafts.forget();
      return opened.text;
    }
    return mine.text;
  }
  const other = drafts.other(opened.text);
  if (other === undefined) {
    return opened.text;
  }
  const { key, draft } = other;
  const chosen = await chooseBetween({
    heading: "A text of this piece was never saved",
    why: `It was typed in another window of this browser at ${new Date(draft.at).toLocaleTimeString()}. Choose which is to stay.`,
    mine: { title: "Typed in the other window", text: draft.text, choose: "Keep what was typed" },
    other: { title: "Saved", text: opened.text, choose: "Take what is saved" },
  });
  if (chosen !== undefined) {
    drafts.drop(key);
  }
  return chosen === "mine" ? draft.text : opened.text;
}
