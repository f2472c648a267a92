// The table of the class: a row for each student, a column for each group of rules. Rows are kept and rewritten, so
// that the focus stays where it is.

import { byId, element, write } from "../shared/dom";
import { ago, count } from "../shared/words";
import { type View, address, groupOf, passes } from "./address";
import { show, sum } from "./cell";
import type { Row } from "./contract";
import type { Class } from "./state";

/** The elements of a row. */
interface Line {
  readonly row: HTMLTableRowElement;
  readonly link: HTMLAnchorElement;
  readonly done: HTMLElement;
  readonly about: HTMLElement;
  readonly problem: HTMLElement;
  readonly cells: Map<string, HTMLTableCellElement>;
}

/** How the table is arranged. */
export interface Order {
  readonly sort: "name" | "most";
  readonly allColumns: boolean;
}

const ALL = "all";
const LESSONS = "lessons";

/** The table. */
export class Table {
  private readonly heads = byId("heads", HTMLTableRowElement);
  private readonly rows = byId("rows", HTMLTableSectionElement);
  private readonly lines = new Map<string, Line>();
  private columns: readonly (readonly [name: string, title: string])[] = [];

  constructor(private readonly of: Class) {}

  /** Shows the class anew. */
  show(view: View, order: Order): void {
    const students = this.of.sorted();
    if (order.sort === "most") {
      const open = new Map(students.map((row) => [row.id, sum(row, view).open]));
      students.sort((one, other) => (open.get(other.id) ?? 0) - (open.get(one.id) ?? 0));
    }
    this.head(students, view, order);
    const { activeElement } = document;
    for (const [id, line] of this.lines) {
      if (!this.of.rows.has(id)) {
        line.row.remove();
        this.lines.delete(id);
      }
    }
    students.forEach((row, at) => {
      const line = this.lines.get(row.id) ?? this.line(row);
      this.write(line, row, view);
      if (this.rows.children[at] !== line.row) {
        this.rows.insertBefore(line.row, this.rows.children[at] ?? null);
      }
    });
    if (activeElement instanceof HTMLElement && activeElement.isConnected && document.activeElement !== activeElement) {
      activeElement.focus({ preventScroll: true });
    }
  }

  /** Counts on what was how long ago. */
  tick(): void {
    for (const [id, line] of this.lines) {
      const row = this.of.rows.get(id);
      if (row !== undefined) {
        write(line.about, this.about(row));
      }
    }
  }

  /** The columns that there are. */
  private head(students: readonly Row[], view: View, { allColumns }: Order): void {
    const wall = this.of.wall;
    const occurring = new Set(students.flatMap(({ cells }) => cells.filter((cell) => passes(view, cell)).map(({ rule }) => groupOf(rule))));
    const wanted = view.rule === null ? view.group : groupOf(view.rule);
    const groups = (wall?.groups ?? []).filter(({ name }) => (wanted === null ? allColumns || occurring.has(name) : name === wanted));
    const columns = groups.map(({ name, title }) => [name, title] as const);
    const lessons = students.some(({ marks }) => marks !== null && marks !== undefined) ? [[LESSONS, "Lessons"] as const] : [];
    const all = [[ALL, "All"] as const, ...lessons, ...columns];
    if (JSON.stringify(all) === JSON.stringify(this.columns)) {
      return;
    }
    this.columns = all;
    this.heads.replaceChildren(
      element("th", { scope: "col", class: "who" }, "Student"),
      ...all.map(([name, title]) => element("th", { scope: "col", class: name === ALL ? "all" : null }, title)),
    );
    for (const line of this.lines.values()) {
      this.arrange(line);
    }
  }

  private line(of: Row): Line {
    const link = element("a", { class: "student" });
    const done = element("span", { class: "done", hidden: true }, "✓ done");
    const about = element("span", { class: "about quiet" });
    const problem = element("span", { class: "problem", hidden: true });
    const who = element("th", { scope: "row", class: "who" }, element("span", { class: "first" }, link, " ", done), about, problem);
    const row = element("tr", {}, who);
    row.addEventListener("click", ({ target }) => {
      if (target instanceof Element && target.closest("a") === null && getSelection()?.isCollapsed !== false) {
        link.click();
      }
    });
    const line = { row, link, done, about, problem, cells: new Map<string, HTMLTableCellElement>() };
    this.lines.set(of.id, line);
    this.arrange(line);
    return line;
  }

  private arrange({ row, cells }: Line): void {
    for (const [name, cell] of cells) {
      if (!this.columns.some(([column]) => column === name)) {
        cell.remove();
        cells.delete(name);
      }
    }
    for (const [name] of this.columns) {
      const cell = cells.get(name) ?? element("td", { class: name === ALL ? "all" : null });
      cells.set(name, cell);
      row.append(cell);
    }
  }

  private write({ row, link, done, about, problem, cells }: Line, of: Row, view: View): void {
    const href = address({ ...view, student: of.id });
    if (link.getAttribute("href") !== href) {
      link.setAttribute("href", href);
    }
    write(link, this.of.called(of));
    done.hidden = !of.done;
    row.classList.toggle("is-done", of.done);
    write(about, this.about(of));
    const words = this.of.problem(of);
    problem.hidden = words === null;
    write(problem, words ?? "");
    for (const [name, cell] of cells) {
      if (name === LESSONS) {
        write(cell, lesson(of));
      } else {
        show(cell, sum(of, view, name === ALL ? undefined : name));
      }
    }
  }

  private about({ saved, files, horns, desk }: Row): string {
    const words = [
      saved === null ? "nothing saved yet" : `saved ${ago(this.of.since(saved))}`,
      files > 1 ? count(files, "file") : "",
      files === 0 ? "" : horns === 0 ? "no horn part" : horns > 1 ? count(horns, "horn part") : "",
      desk ? "at a desk" : "",
    ];
    return words.filter(Boolean).join(" · ");
  }
}

/** How a student stands with the lesson, in words. */
function lesson({ marks }: Row): string {
  if (marks === null || marks === undefined) {
    return "";
  }
  const { asked, fixed, left, new: added, kept } = marks;
  const words = [`${fixed} of ${asked} fixed`, left > 0 ? `${left} left` : "", added > 0 ? `${added} new` : "", kept ? "" : "music changed elsewhere"];
  return words.filter(Boolean).join(", ");
}
