// Which note of a picture stands at a place of the text.

import type { Place, Position } from "./protocol";

const before = (a: Position, b: Position) => a.line < b.line || (a.line === b.line && a.character < b.character);

/** Whether an element of the picture is a note, by the server's way to name them. */
export const isNote = ({ id }: Place) => id.startsWith("note-");

/**
 * The note at a position: the one whose text holds it, the shortest if there are several; at a note's very end, that
 * note, if no other begins there. `undefined` between notes.
 */
export function noteAt(places: readonly Place[], at: Position): Place | undefined {
  let found: Place | undefined;
  let ending: Place | undefined;
  for (const place of places) {
    const { start, end } = place.range;
    if (!isNote(place) || before(at, start) || before(end, at)) {
      continue;
    }
    if (!before(at, end)) {
      ending = place;
    } else if (found === undefined || before(found.range.start, start)) {
      found = place;
    }
  }
  return found ?? ending;
}
