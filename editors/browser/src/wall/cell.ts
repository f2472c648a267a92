// The findings of one group with one student: what is open, new and fixed.

import { element, heard, seen } from "../shared/dom";
import { type Severity, worst, mark } from "../shared/severity";
import { type View, groupOf, passes } from "./address";
import type { Cell, Row } from "./contract";

/** How many findings there are. */
export interface Sum {
  readonly open: number;
  readonly fixed: number;
  readonly new: number;
  readonly worst: Severity | undefined;
}

/** The sum of what the view lets through, of one group or of all. */
export function sum(row: Row, view: View, group?: string): Sum {
  const cells = row.cells.filter((cell) => passes(view, cell) && (group === undefined || groupOf(cell.rule) === group));
  const total = (of: (cell: Cell) => number) => cells.reduce((all, cell) => all + of(cell), 0);
  return {
    open: total(({ open }) => open),
    fixed: total(({ fixed }) => fixed),
    new: total((cell) => cell.new),
    worst: worst(cells.filter(({ open }) => open > 0).map(({ severity }) => severity)),
  };
}

/** A sum in words. */
export function inWords({ open, fixed, new: added, worst }: Sum): string {
  const words = [
    open > 0 ? `${open} to fix, at worst ${worst}` : "",
    added > 0 ? `${added} of them new` : "",
    fixed > 0 ? `${fixed} fixed` : "",
  ];
  return words.filter(Boolean).join("; ") || "nothing";
}

/** Shows a sum in a cell of the table, unless it is the one that stands there. */
export function show(cell: HTMLElement, of: Sum): void {
  const words = inWords(of);
  if (cell.dataset["words"] === words) {
    return;
  }
  cell.dataset["words"] = words;
  const figures = element("span", { class: "figures", "aria-hidden": "true" });
  if (of.worst !== undefined) {
    figures.append(element("span", { class: "open" }, mark(of.worst), String(of.open)));
  }
  if (of.new > 0) {
    figures.append(element("span", { class: "new" }, `+${of.new}`));
  }
  if (of.fixed > 0) {
    figures.append(element("span", { class: "fixed" }, `✓${of.fixed}`));
  }
  if (figures.childElementCount === 0) {
    figures.append(seen("·", { class: "quiet" }));
  }
  cell.replaceChildren(figures, heard(words));
}
