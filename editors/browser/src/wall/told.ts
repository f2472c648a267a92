// What is said about a change to those who hear the page: briefly, and not at every keystroke of a whole class.

import { byId } from "../shared/dom";
import { list } from "../shared/words";
import type { Row } from "./contract";
import type { Class } from "./state";

/** How long changes are gathered before they are said, in milliseconds. */
const GATHERED = 2500;
/** How many students are spoken of by name. */
const NAMED = 3;

const open = ({ cells }: Row) => cells.reduce((all, cell) => all + cell.open, 0);

/** The changes that are to be said. */
export class Told {
  private readonly status = byId("told", HTMLElement);
  private readonly before = new Map<string, Row | undefined>();
  private waiting: ReturnType<typeof setTimeout> | undefined;

  constructor(private readonly of: Class) {}

  /** These have changed; what they were. */
  changed(ids: readonly string[], before: ReadonlyMap<string, Row>): void {
    for (const id of ids) {
      if (!this.before.has(id)) {
        this.before.set(id, before.get(id));
      }
    }
    this.waiting ??= setTimeout(() => this.say(), GATHERED);
  }

  /** Takes back what was said, which may hold a name. */
  clear(): void {
    this.status.textContent = "";
  }

  private say(): void {
    this.waiting = undefined;
    const words: string[] = [];
    for (const [id, was] of this.before) {
      const now = this.of.rows.get(id);
      if (now !== undefined) {
        words.push(`${this.of.called(now)} ${this.what(now, was)}`);
      }
    }
    this.before.clear();
    this.status.textContent = words.length > NAMED ? `${words.length} students have saved.` : words.length > 0 ? `${list(words)}.` : "";
  }

  private what(now: Row, was: Row | undefined): string {
    if (was === undefined) {
      return "has begun";
    }
    if (now.problem !== null && was.problem === null) {
      return `has a problem: ${this.of.problem(now)}`;
    }
    if (now.done && !was.done) {
      return "is done";
    }
    const left = open(now);
    return left === open(was) ? "has saved" : `has ${left} to fix`;
  }
}
