// The class as it is known now, and who is called what.

import type { Change, Met, Row, Wall } from "./contract";

/** The class. */
export class Class {
  wall: Wall | undefined;
  readonly rows = new Map<string, Row>();
  met: readonly Met[] = [];
  /** Students by number instead of name. */
  anonymous = false;
  /** What the program's clock is ahead of this page's, in seconds. */
  private ahead = 0;

  /** Takes the whole class in. */
  take(wall: Wall): void {
    this.wall = wall;
    this.ahead = wall.now - Date.now() / 1000;
    this.rows.clear();
    for (const row of wall.students) {
      this.rows.set(row.id, row);
    }
    this.met = wall.met;
  }

  /** Takes a change in; gives back the rows as they were before. */
  change(change: Change): Map<string, Row> {
    if (change.now !== undefined) {
      this.ahead = change.now - Date.now() / 1000;
    }
    const before = new Map<string, Row>();
    for (const row of change.students) {
      const was = this.rows.get(row.id);
      if (was !== undefined) {
        before.set(row.id, was);
      }
      this.rows.set(row.id, row);
    }
    for (const id of change.gone) {
      this.rows.delete(id);
    }
    this.met = change.met;
    return before;
  }

  /** Seconds since a time by the program's clock. */
  since(time: number): number {
    return Date.now() / 1000 + this.ahead - time;
  }

  /** What a student is called on the page. */
  called({ id, name }: Pick<Row, "id" | "name">): string {
    return this.anonymous ? `Student ${number(id)}` : name;
  }

  /** Words about a student, such as a file's name, without the student's own name where names are hidden. */
  words(of: Pick<Row, "id" | "name">, words: string): string {
    return this.anonymous ? words.replaceAll(of.name, this.called(of)) : words;
  }

  /** What is the matter with a student's files. */
  problem(row: Row): string | null {
    return row.problem === null ? null : this.words(row, row.problem);
  }

  /** By name; by number, where names are hidden. */
  sorted(): Row[] {
    const rows = [...this.rows.values()];
    return this.anonymous
      ? rows.sort((one, other) => number(one.id).localeCompare(number(other.id), undefined, { numeric: true }))
      : rows.sort((one, other) => one.name.localeCompare(other.name, undefined, { numeric: true }) || one.id.localeCompare(other.id));
  }
}

const number = (id: string) => /\d+/.exec(id)?.[0] ?? id;
