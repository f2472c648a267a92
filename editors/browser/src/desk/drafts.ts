// What was typed and not saved yet, kept in the browser: for each window its own, so that two do not overwrite each other.

import type { Text } from "./contract";

/** A text that was not saved, and which writing it was made from. */
export interface Draft extends Text {
  /** When it was written, in milliseconds since 1970. */
  readonly at: number;
}

const WINDOW = "bellhand:window";

/** This window's name, also after it is loaded again. */
function windowName(): string {
  try {
    const known = sessionStorage.getItem(WINDOW);
    if (known !== null) {
      return known;
    }
    const name = Math.random().toString(36).slice(2);
    sessionStorage.setItem(WINDOW, name);
    return name;
  } catch {
    return "only";
  }
}

/** The drafts of one piece. */
export class Drafts {
  private readonly prefix: string;
  private readonly own: string;

  constructor(student: string, file: string) {
    this.prefix = `bellhand:draft:${encodeURIComponent(student)}:${encodeURIComponent(file)}:`;
    this.own = this.prefix + windowName();
  }

  /** Keeps a text; gives back whether the browser has room for it. */
  keep({ text, etag }: Text): boolean {
    try {
      localStorage.setItem(this.own, JSON.stringify({ text, etag, at: Date.now() } satisfies Draft));
      return true;
    } catch {
      return false;
    }
  }

  /** Forgets this window's text, which is saved. */
  forget(): void {
    this.drop(this.own);
  }

  /** This window's text. */
  mine(): Draft | undefined {
    return read(this.own);
  }

  /** The newest text of another window that is not this one. */
  other(saved: string): { readonly key: string; readonly draft: Draft } | undefined {
    let newest: { key: string; draft: Draft } | undefined;
    for (const key of keys().filter((one) => one.startsWith(this.prefix) && one !== this.own)) {
      const draft = read(key);
      if (draft === undefined || draft.text === saved) {
        this.drop(key);
      } else if (newest === undefined || draft.at > newest.draft.at) {
        newest = { key, draft };
      }
    }
    return newest;
  }

  /** Forgets a text by its key. */
  drop(key: string): void {
    try {
      localStorage.removeItem(key);
    } catch {
      // Nothing is kept, then.
    }
  }
}

function keys(): string[] {
  try {
    return Object.keys(localStorage);
  } catch {
    return [];
  }
}

function read(key: string): Draft | undefined {
  try {
    const { text, etag, at } = JSON.parse(localStorage.getItem(key) ?? "{}") as Partial<Draft>;
    return typeof text === "string" && typeof etag === "string" && typeof at === "number" ? { text, etag, at } : undefined;
  } catch {
    return undefined;
  }
}
