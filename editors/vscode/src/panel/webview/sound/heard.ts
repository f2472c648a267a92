// What is to be heard of a part, as the server tells it.

/** One sound. Times are seconds from the beginning. */
export interface Sound {
  /** The drawn notes it is read from, and when each begins; after the first they are held on. */
  readonly notes: readonly { readonly id: string; readonly starts: number }[];
  readonly ends: number;
  readonly hertz: number;
  /** When it comes to which further pitch, in hertz: the partials of a rip. */
  readonly steps?: readonly (readonly [at: number, hertz: number])[];
  /** When it is how loud, from 0 for silence to 1 for fff, growing evenly from one to the next. */
  readonly loudness: readonly (readonly [at: number, loudness: number])[];
  readonly technique: Technique;
  readonly tone?: "brassy" | "flutter";
  /** Whether it is slurred from the sound before. */
  readonly slurred?: boolean;
  /** The number of the bar it begins in. */
  readonly bar: number;
}

export type Technique = "open" | "half-stopped" | "stopped" | "muted";

/** A part's sounds, in the order of time. */
export interface Heard {
  readonly part: string;
  readonly sounds: readonly Sound[];
}

/** When a sound begins. */
export const starts = (sound: Sound) => sound.notes[0]?.starts ?? sound.ends;
