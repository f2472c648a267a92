// The lines of a part: those near what is seen are drawn, and the others keep their room.

import type { LineOf } from "../protocol";
import { svgOf } from "./svg";

/** A line on the page. */
interface Shown {
  readonly host: HTMLElement;
  /** What is drawn in it; `undefined` for room alone. */
  drawn: Drawn | undefined;
  /** How wide and how high it was when it was drawn last. */
  size: Size | undefined;
}

type Size = readonly [width: number, height: number];

/** What is drawn of a line. */
interface Drawn {
  readonly svg: SVGSVGElement;
  /** Its text, whatever the number of its first note: notes that are new in the lines before change nothing in it. */
  readonly text: string;
  /** The number of its first note. */
  first: number;
}

/** Lines are taken to be of this shape before any is drawn. */
const USUAL: Size = [960, 150];
/** The most lines that are asked for at once. */
const MOST = 100;
const NAMED = /(id|data-note)="note-(\d+)"/g;

export class Lines {
  private lines: Shown[] = [];
  /** Which lines are drawn: the first, and the one behind the last. */
  private span: readonly [number, number] = [0, 0];
  private asked = "";
  private all: readonly LineOf[] = [];
  /** The line that a note was sought on last. */
  private revealed = -1;

  /** `wanted` is told which lines, the first and the last, are to be drawn. */
  constructor(
    private readonly box: HTMLElement,
    private readonly host: HTMLElement,
    private readonly wanted: (first: number, last: number) => void,
  ) {
    box.addEventListener("scroll", () => this.look(), { passive: true });
  }

  /** Shows the lines of a part, of which those from `first` on are drawn. Gives back whether they can be shown. */
  show(all: readonly LineOf[], first: number, drawn: readonly string[]): boolean {
    const before = new Map<string, Drawn>();
    for (const { drawn } of this.lines) {
      if (drawn !== undefined) {
        before.set(drawn.text, drawn);
      }
    }
    const next: Drawn[] = [];
    for (const svg of drawn) {
      const made = make(svg, before);
      if (made === undefined) {
        return false;
      }
      next.push(made);
    }
    const top = this.lines[this.below(this.box.getBoundingClientRect().top)]?.host;
    const height = top?.getBoundingClientRect().top ?? 0;
    this.fit(all.length);
    this.all = all;
    this.span = [first, first + next.length];
    this.revealed = -1;
    this.lines.forEach((line, place) => this.put(line, next[place - first], all[place]));
    this.room();
    if (top?.isConnected) {
      // Lines before may take more room or less than they were thought to.
      this.box.scrollTop += top.getBoundingClientRect().top - height;
    }
    return true;
  }

  /** Shows nothing. */
  clear(): void {
    this.fit(0);
    this.all = [];
    this.span = [0, 0];
    this.asked = "";
  }

  /** Brings a line into view that may not be drawn yet. */
  reveal(line: number): void {
    this.lines[line]?.host.scrollIntoView({ block: "center" });
    this.look();
  }

  /** Brings the line of a note into view, by the note's number, unless it is the one that was brought last. */
  revealNote(number: number): void {
    let line = 0;
    while ((this.all[line + 1]?.notes ?? Number.POSITIVE_INFINITY) <= number) {
      line += 1;
    }
    if (line !== this.revealed) {
      this.revealed = line;
      this.reveal(line);
    }
  }

  /** How many lines there are. */
  get count(): number {
    return this.lines.length;
  }

  /** Asks for the lines that are seen, and about as many before and behind them, unless they are drawn. */
  look(): void {
    const { top, bottom } = this.box.getBoundingClientRect();
    const last = this.lines.length - 1;
    const from = Math.min(this.below(top), last);
    const to = Math.min(this.below(bottom), last);
    const [first, end] = this.span;
    if (last < 0 || (Math.max(from - 1, 0) >= first && Math.min(to + 1, last) < end)) {
      return;
    }
    const seen = to - from + 1;
    const more = Math.max(Math.min(seen, Math.floor((MOST - seen) / 2)), 2);
    const wish = [Math.max(from - more, 0), Math.min(to + more, last)] as const;
    if (this.asked !== String(wish)) {
      this.asked = String(wish);
      this.wanted(...wish);
    }
  }

  /** The first line that reaches below a height. */
  private below(y: number): number {
    let [low, high] = [0, this.lines.length];
    while (low < high) {
      const middle = (low + high) >> 1;
      if ((this.lines[middle]?.host.getBoundingClientRect().bottom ?? y) > y) {
        high = middle;
      } else {
        low = middle + 1;
      }
    }
    return low;
  }

  /** Makes as many lines as there are. */
  private fit(count: number): void {
    for (const { host } of this.lines.splice(count)) {
      host.remove();
    }
    while (this.lines.length < count) {
      const host = document.createElement("div");
      host.className = "row";
      this.host.append(host);
      this.lines.push({ host, drawn: undefined, size: undefined });
    }
  }

  private put(line: Shown, drawn: Drawn | undefined, of: LineOf | undefined): void {
    const { host } = line;
    if (drawn === undefined) {
      const [first, last] = of?.bars ?? [0, 0];
      const findings = of?.findings ?? 0;
      // Tab would else pass over what is found on it.
      host.tabIndex = findings > 0 ? 0 : -1;
      host.setAttribute("role", "group");
      host.setAttribute("aria-label", `Bars ${first} to ${last}${findings > 0 ? `, findings: ${findings}` : ""}`);
      if (host.contains(document.activeElement) && document.activeElement !== host) {
        host.focus({ preventScroll: true });
      }
    } else {
      for (const name of ["role", "aria-label"]) {
        host.removeAttribute(name);
      }
      if (document.activeElement === host) {
        host.tabIndex = -1;
      } else {
        host.removeAttribute("tabindex");
      }
      const { width, height } = drawn.svg.viewBox.baseVal;
      line.size = [width, height];
    }
    line.drawn = drawn;
    if (drawn === undefined) {
      host.replaceChildren();
    } else if (drawn.svg.parentNode !== host || host.childNodes.length !== 1) {
      host.replaceChildren(drawn.svg);
    }
  }

  /** Gives lines that are not drawn the room that they had, or that the others take. */
  private room(): void {
    const sizes = this.lines.flatMap(({ drawn, size }) => (drawn !== undefined && size !== undefined ? [size] : []));
    const width = sizes[0]?.[0] ?? USUAL[0];
    const height = sizes.length > 0 ? sizes.reduce((sum, [, height]) => sum + height, 0) / sizes.length : USUAL[1];
    for (const { host, drawn, size } of this.lines) {
      const [wide, high] = size?.[0] === width ? size : [width, height];
      host.style.aspectRatio = drawn === undefined ? `${wide} / ${high}` : "";
    }
  }
}

/** What is drawn of a line, taken over from before where it is the same; `undefined` when it is no picture. */
function make(svg: string, before: Map<string, Drawn>): Drawn | undefined {
  const first = Number(/ id="note-(\d+)"/.exec(svg)?.[1] ?? 0);
  const text = svg.replaceAll(NAMED, (_, name: string, number: string) => `${name}="note-${Number(number) - first}"`);
  const same = before.get(text);
  if (same !== undefined) {
    before.delete(text);
    renumber(same, first);
    return same;
  }
  const made = svgOf(svg)?.svg;
  return made && { svg: made, text, first };
}

/** Names the notes of a line as the part counts them now. */
function renumber(drawn: Drawn, first: number): void {
  const by = first - drawn.first;
  if (by === 0) {
    return;
  }
  const now = (name: string) => `note-${Number(name.slice("note-".length)) + by}`;
  for (const note of drawn.svg.querySelectorAll<SVGElement>('[id^="note-"], [data-note]')) {
    if (note.dataset.note === undefined) {
      note.id = now(note.id);
    } else {
      note.dataset.note = now(note.dataset.note);
    }
  }
  drawn.first = first;
}
