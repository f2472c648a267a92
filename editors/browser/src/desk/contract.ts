// What the program tells the desk.

/** How a piece is written. */
export const NOTATIONS = ["abc", "kern", "musicxml"] as const;
export type Notation = (typeof NOTATIONS)[number];

/** A piece of the student's. Its file names it for good, its id only until the program is started anew. */
export interface Piece {
  readonly id: string;
  readonly file: string;
  readonly notation: Notation;
}

/** Something to do in a lesson, with hints in steps. */
export interface Task {
  readonly text: string;
  readonly hints: readonly string[];
}

/** A lesson that a piece can begin from. */
export interface Lesson {
  readonly id: string;
  readonly title: string;
  readonly file: string;
  readonly tasks: readonly Task[];
}

/** A student who has entered. */
export interface State {
  readonly name: string;
  /** What the student comes back to this desk with from another browser. */
  readonly word?: string;
  readonly pieces: readonly Piece[];
  readonly lessons: readonly Lesson[];
}

/** The address of a piece in the page. */
export const addressOf = ({ file }: Piece) => `#/${encodeURIComponent(file)}`;

/** A text, and which writing of it. */
export interface Text {
  readonly text: string;
  readonly etag: string;
}
