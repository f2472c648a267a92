// A finding in a student's score: where, what, why, and what to write instead.

import { button, element } from "../shared/dom";
import { mark } from "../shared/severity";
import { count } from "../shared/words";
import type { Finding } from "./contract";

/** What a page knows of a finding besides the finding. */
export interface Placed {
  readonly finding: Finding;
  /** Names it among all of the student's, also when it is listed anew. */
  readonly key: string;
}

/** What can be done with a finding. */
export interface Actions {
  /** Shows its mark in the picture. */
  readonly point: ((mark: string) => void) | undefined;
}

/** Where in the music it is. */
export function where({ bar, player, line }: Finding): string {
  return [bar === null ? `line ${line}` : `bar ${bar}`, player === null ? "" : `player ${player}`].filter(Boolean).join(", ");
}

/** The source line with the place underlined. */
function source({ text, from, to, line }: Finding): HTMLElement {
  const place = element("mark", {}, text.slice(from, to) || " ");
  return element("pre", { class: "source", tabindex: "0", role: "group", "aria-label": `Line ${line}` }, element("code", {}, text.slice(0, from), place, text.slice(to)));
}

/** The item of a list that shows a finding. `shared` is what is said above it for all of its rule. */
export function item({ finding, key }: Placed, shared: { why: boolean; rule: boolean }, { point }: Actions): HTMLLIElement {
  const { fixes, mark: id } = finding;
  return element(
    "li",
    { class: "finding-item", "data-key": key, "data-mark": id, tabindex: "-1" },
    element(
      "p",
      { class: "what" },
      mark(finding.severity),
      " ",
      element("span", { class: "severity" }, finding.severity),
      " · ",
      element("strong", {}, where(finding)),
      finding.new && element("span", { class: "new" }, " new since the lesson began"),
      shared.rule && element("span", { class: "quiet" }, ` · ${finding.rule}`),
    ),
    element("p", {}, finding.message),
    source(finding),
    !shared.why && reasons(finding),
    element(
      "div",
      { class: "controls" },
      id !== null && point && button("Show in the picture", () => point(id), { "data-key": `${key} picture` }),
      fixes.length > 0 &&
        element(
          "details",
          { "data-key": `${key} fixes` },
          element("summary", { "data-key": `${key} summary` }, `Show ${count(fixes.length, "fix", "fixes")}`),
          element("ul", {}, ...fixes.map((fix) => element("li", {}, fix))),
        ),
    ),
  );
}

/** Why it matters to the player, and what to write instead. */
export function reasons({ why, instead, source }: Finding): HTMLElement {
  return element(
    "dl",
    { class: "reasons" },
    element("dt", {}, "Why"),
    element("dd", {}, why, " ", element("span", { class: "quiet" }, `(${source})`)),
    element("dt", {}, "Instead"),
    element("dd", {}, instead),
  );
}
