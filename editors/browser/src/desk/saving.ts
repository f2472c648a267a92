// Saving what is typed, at each pause. Until it is saved it is kept in the browser.

import { type Failure, save } from "./ask";
import type { Text } from "./contract";
import type { Drafts } from "./drafts";

/** How long a pause in typing is, in milliseconds. */
const PAUSE = 700;
/** After how long it is saved even without a pause, in milliseconds. */
const LONGEST = 5000;
/** The first and the longest wait before it is tried again, in milliseconds. */
const AGAIN = [1000, 30_000] as const;

/** How the text stands. `stuck` says why it could not be saved. */
export type Standing = { readonly kind: "saved" | "waiting" | "saving" } | { readonly kind: "stuck"; readonly words: string };

/** Who is asked and told. */
interface Owner {
  standing(standing: Standing): void;
  /** Shows both texts; which one is to stay, or `undefined` when that is left open. */
  choose(mine: string, other: Text): Promise<"mine" | "other" | undefined>;
  /** Puts another text in the place of this one. */
  replace(text: string): void;
  /** The student has to enter again, and the piece is to be opened anew. */
  enterAgain(): void;
}

/** The saving of one piece. */
export class Saving {
  private saved: string;
  private etag: string;
  private busy = false;
  private stopped = false;
  private since: number | undefined;
  private wait: number = AGAIN[0];
  private timer: ReturnType<typeof setTimeout> | undefined;

  constructor(
    private readonly piece: string,
    private readonly drafts: Drafts,
    opened: Text,
    private text: string,
    private readonly owner: Owner,
  ) {
    this.saved = opened.text;
    this.etag = opened.etag;
    window.addEventListener("pagehide", this.leaving);
    window.addEventListener("online", this.now);
    if (text === this.saved) {
      owner.standing({ kind: "saved" });
    } else {
      this.later();
    }
  }

  /** This is the text now. */
  changed(text: string): void {
    this.text = text;
    if (text === this.saved) {
      this.drafts.forget();
    } else if (!this.drafts.keep({ text, etag: this.etag })) {
      this.owner.standing({ kind: "stuck", words: "This browser has no room to keep what is not saved yet." });
    }
    this.later();
  }

  /** Saves at once. */
  readonly now = (): void => {
    clearTimeout(this.timer);
    void this.save();
  };

  /** Saves nothing more, since the program may know another piece by this id now; it stays kept in the browser. */
  stop(words: string): void {
    this.stopped = true;
    clearTimeout(this.timer);
    this.owner.standing({ kind: "stuck", words });
  }

  /** Ends it; what is not saved stays kept in the browser. */
  close(): void {
    this.leaving();
    this.stopped = true;
    clearTimeout(this.timer);
    window.removeEventListener("pagehide", this.leaving);
    window.removeEventListener("online", this.now);
  }

  private readonly leaving = (): void => {
    if (!this.busy && !this.stopped && this.text !== this.saved) {
      void save(this.piece, { text: this.text, etag: this.etag }, true);
    }
  };

  private later(): void {
    if (this.stopped) {
      return;
    }
    if (this.text === this.saved && !this.busy) {
      this.since = undefined;
      this.owner.standing({ kind: "saved" });
      return;
    }
    this.since ??= Date.now();
    this.owner.standing({ kind: "waiting" });
    clearTimeout(this.timer);
    this.timer = setTimeout(this.now, Math.max(0, Math.min(PAUSE, this.since + LONGEST - Date.now())));
  }

  private async save(): Promise<void> {
    if (this.busy || this.stopped || this.text === this.saved) {
      return;
    }
    this.busy = true;
    this.since = undefined;
    this.owner.standing({ kind: "saving" });
    const sent = this.text;
    const outcome = await save(this.piece, { text: sent, etag: this.etag });
    if (this.stopped) {
      return;
    }
    if ("done" in outcome) {
      this.wait = AGAIN[0];
      this.took({ text: sent, etag: outcome.done.etag });
    } else if ("other" in outcome) {
      await this.settle(outcome.other);
    } else {
      this.failed(outcome.failed);
    }
  }

  /** This is what the program has now. */
  private took({ text, etag }: Text): void {
    this.busy = false;
    [this.saved, this.etag] = [text, etag];
    if (this.text === text) {
      this.drafts.forget();
    } else {
      this.drafts.keep({ text: this.text, etag });
    }
    this.later();
  }

  /** Another window has written meanwhile. */
  private async settle(other: Text): Promise<void> {
    if (other.text === this.text) {
      this.took(other);
      return;
    }
    const chosen = await this.owner.choose(this.text, other);
    this.busy = false;
    if (chosen === undefined) {
      this.owner.standing({ kind: "stuck", words: "Not saved: another window has written this piece too." });
    } else if (chosen === "mine") {
      this.etag = other.etag;
      this.saved = other.text;
      this.drafts.keep({ text: this.text, etag: other.etag });
      this.now();
    } else {
      this.text = other.text;
      this.owner.replace(other.text);
      this.took(other);
    }
  }

  private failed({ why, words }: Failure): void {
    this.busy = false;
    this.owner.standing({ kind: "stuck", words: `Not saved: ${words} What you write is kept in this browser.` });
    if (why === "left") {
      this.owner.enterAgain();
      return;
    }
    clearTimeout(this.timer);
    this.timer = setTimeout(this.now, this.wait);
    this.wait = Math.min(this.wait * 2, AGAIN[1]);
  }
}
