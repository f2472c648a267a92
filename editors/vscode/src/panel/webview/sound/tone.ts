// How a horn's tone is made of partials: bright when loud, thin and nasal when stopped, dark when muted. Its figures are
// this project's choice, set by measure so that ways of playing are told apart (`editors/browser/test/sound.mjs`), and imitate no one instrument.

import type { Technique } from "./heard";

/** What a tone depends on. */
export interface Played {
  readonly hertz: number;
  /** From 0 for silence to 1 for fff. */
  readonly loudness: number;
  readonly technique: Technique;
  readonly tone?: "brassy" | "flutter" | undefined;
}

/** The most partials of a tone. */
const MOST = 48;
/** No partial lies higher, in hertz. */
const HIGHEST = 16_000;
/** The root mean square of the loudest tone, of 1 for what a loudspeaker can do. */
const LOUDEST = 0.3;
/** From silence to the loudest, in decibels; a degree, as from p to mp, is an eleventh of it. */
const RANGE = 40;

/** Up to where the partials are strong, in hertz. */
export function edge({ loudness, technique, tone }: Omit<Played, "hertz">): number {
  const open = 200 * 2 ** (3.2 * loudness);
  const by = { open: 1, "half-stopped": 0.5, stopped: 2.2, muted: 0.55 }[technique];
  return open * by * (tone === "brassy" ? 2 : 1);
}

/** How strong each partial is, from the first on; all together have a root mean square of 1. */
export function partials(played: Played): number[] {
  const { hertz, loudness, technique, tone } = played;
  const top = edge(played);
  const steep = Math.max(1.5, 4.5 - 1.5 * loudness - (technique === "stopped" || tone === "brassy" ? 1 : 0));
  const count = Math.max(1, Math.min(MOST, Math.floor(HIGHEST / hertz)));
  const strong = Array.from({ length: count }, (_, at) => {
    const frequency = hertz * (at + 1);
    const body = (at + 1) ** -0.4 / (1 + (frequency / top) ** steep);
    // The bell gives little of the lowest notes' first partials.
    return body * passed(frequency, 120) * closed(frequency, technique);
  });
  const sum = Math.sqrt(strong.reduce((sum, one) => sum + (one * one) / 2, 0));
  return strong.map((one) => one / sum);
}

/** What is left of a frequency over an edge below which less and less is. */
const passed = (frequency: number, over: number) => frequency ** 2 / (frequency ** 2 + over ** 2);

/** What hand or mute leave of a frequency. */
function closed(frequency: number, technique: Technique): number {
  switch (technique) {
    case "stopped":
      return 0.15 + passed(frequency, 1100);
    case "muted":
      // A hollow where the open horn is fullest.
      return 1 - 0.6 * Math.exp(-((Math.log2(frequency / 650) / 0.6) ** 2));
    default:
      return 1;
  }
}

/** How far a tone of a loudness swings, as its root mean square. */
export function level(loudness: number, technique: Technique): number {
  if (loudness <= 0) {
    return 0;
  }
  const closed = technique === "open" ? 1 : 0.7;
  return LOUDEST * closed * 10 ** ((RANGE * (loudness - 1)) / 20);
}
