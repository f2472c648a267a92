// Where the arrow keys lead among the notes of a picture.

const middle = (element: Element) => {
  const { left, right, top, bottom } = element.getBoundingClientRect();
  return { x: (left + right) / 2, y: (top + bottom) / 2 };
};

/** The note a key leads to; `undefined` for a key that leads nowhere. */
export function target(key: string, from: SVGElement, notes: readonly SVGElement[]): SVGElement | undefined {
  const at = notes.indexOf(from);
  switch (key) {
    case "ArrowLeft":
      return at < 0 ? nearest(from, notes) : notes[Math.max(at - 1, 0)];
    case "ArrowRight":
      return at < 0 ? nearest(from, notes) : notes[Math.min(at + 1, notes.length - 1)];
    case "Home":
      return notes[0];
    case "End":
      return notes.at(-1);
    case "ArrowUp":
      return inOtherLine(from, notes, -1);
    case "ArrowDown":
      return inOtherLine(from, notes, 1);
    default:
      return undefined;
  }
}

/** From something that is no note, the note next to it. */
function nearest(from: SVGElement, notes: readonly SVGElement[]): SVGElement | undefined {
  const here = middle(from);
  const distance = (note: SVGElement) => Math.hypot(middle(note).x - here.x, middle(note).y - here.y);
  return least(notes, distance);
}

/** The note above or below, in the line of music next to this one; a line ends where the notes jump back to the left. */
function inOtherLine(from: SVGElement, notes: readonly SVGElement[], way: 1 | -1): SVGElement | undefined {
  const start = notes.includes(from) ? from : nearest(from, notes);
  if (start === undefined) {
    return undefined;
  }
  const lines: SVGElement[][] = [];
  let before = Number.POSITIVE_INFINITY;
  for (const note of notes) {
    const { x } = middle(note);
    if (x < before) {
      lines.push([]);
    }
    lines.at(-1)?.push(note);
    before = x;
  }
  const line = lines.findIndex((one) => one.includes(start));
  const { x } = middle(start);
  return least(lines[line + way] ?? [], (note) => Math.abs(middle(note).x - x)) ?? start;
}

function least<T>(of: readonly T[], by: (one: T) => number): T | undefined {
  let found: T | undefined;
  let value = Number.POSITIVE_INFINITY;
  for (const one of of) {
    const here = by(one);
    if (here < value) {
      [found, value] = [one, here];
    }
  }
  return found;
}
