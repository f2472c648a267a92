// What is said between the editor's side of the picture, its web page, and the language server.

import type { Heard } from "./webview/sound/heard";

export type { Heard };

/** The server's request for lines of the picture of the horn part at a position, or nearest before it. */
export const LINES = "bellhand/lines";

/** The server's request for what is to be heard of that part. */
export const SOUND = "bellhand/sound";

/** As the player reads it, or as it sounds. */
export type Pitch = "written" | "sounding";

/** What is shown of a part. */
export interface Look {
  readonly pitch: Pitch;
  /** Whether breath and lip are shown below each line. */
  readonly effort: boolean;
}

/** A place in the text, as the protocol counts: lines from 0, and UTF-16 units in the line. */
export interface Position {
  readonly line: number;
  readonly character: number;
}

/** From one place in the text to another. */
export interface Range {
  readonly start: Position;
  readonly end: Position;
}

/** Where something in the picture stands in the text. */
export interface Place {
  /** The id of its element in the picture. */
  readonly id: string;
  readonly range: Range;
  /** What it is, in words. */
  readonly label: string;
}

/** The server's answer; `null` for a score without a horn part. */
export interface Picture {
  readonly part: string;
  /** The heading as an `<svg>` element, with styles and outlines for all of the picture. */
  readonly head: string;
  /** What the signs mean, as an `<svg>` element. */
  readonly foot: string;
  /** Every line of the part, drawn or not. */
  readonly lines: readonly LineOf[];
  /** The number of the first line that is drawn, from 0. */
  readonly first: number;
  /** An `<svg>` element for each line that is drawn; its notes are of the class `note`, its findings of `finding`. */
  readonly drawn: readonly string[];
  /** The notes and findings on the lines that are drawn. */
  readonly places: readonly Place[];
  /** The note at the position asked about, and its line. */
  readonly current: { readonly id: string; readonly line: number } | null;
}

/** The server's answer to `bellhand/picture`, which asks for all lines as one. */
export interface Whole {
  readonly part: string;
  /** A whole `<svg>` element. */
  readonly svg: string;
  readonly places: readonly Place[];
  /** The note at the position asked about. */
  readonly current: string | null;
}

/** What is known of a line before it is drawn. */
export interface LineOf {
  /** The first and the last. */
  readonly bars: readonly [number, number];
  /** How many of the part stand before it. */
  readonly notes: number;
  /** How many are marked on it. */
  readonly findings: number;
}

/** What of a place the page needs. */
export type Named = Pick<Place, "id" | "label">;

/** To the page. */
export type ToPage =
  | (Omit<Picture, "places"> &
      Look & {
        readonly kind: "picture";
        readonly places: readonly Named[];
        readonly score: string;
      })
  | { readonly kind: "current"; readonly current: string | null }
  | { readonly kind: "words"; readonly words: string }
  /** What is to be heard; words where nothing is, `null` where the text has moved on. */
  | { readonly kind: "sound"; readonly heard: Heard | string | null }
  /** What is played is another text's now. */
  | { readonly kind: "silence" };

/** From the page. */
export type FromPage =
  /** It is loaded, shows nothing yet, and has this much room. */
  | { readonly kind: "ready"; readonly width: number }
  | { readonly kind: "width"; readonly width: number }
  /** These lines, the first and the last, are seen or will be soon. */
  | { readonly kind: "view"; readonly first: number; readonly last: number }
  /** An element was chosen: its text is to be selected, and with `enter` the user goes on in the text. */
  | { readonly kind: "go"; readonly id: string; readonly enter: boolean }
  | { readonly kind: "look"; readonly look: Look }
  /** The part at the cursor is to be heard. */
  | { readonly kind: "sound" };

/** What the editor keeps of a panel over a reload. */
export interface Kept extends Look {
  readonly score: string;
}

/** Reads what was kept; `undefined` when it is not of this shape. */
export function kept(state: unknown): Kept | undefined {
  const { score, pitch, effort } = (state ?? {}) as Partial<Kept>;
  return typeof score === "string" && (pitch === "written" || pitch === "sounding") ? { score, pitch, effort: effort !== false } : undefined;
}
