// How a student's file stands with the lesson it began from.

import { element } from "../shared/dom";
import { count } from "../shared/words";
import type { Marks } from "./contract";

const at = ({ part, bar }: { readonly part: string | null; readonly bar: number | null }) => [part ?? "", bar === null ? "" : `bar ${bar}`].filter(Boolean).join(", ");

/** The marks of one file as a section of the page. */
export function marks({ file, asked, left, new: added, kept, changed }: Marks): HTMLElement {
  const fixed = asked.filter((one) => one.fixed).length;
  return element(
    "section",
    { class: "marks" },
    element("h3", {}, `Lesson ${file}`),
    element("p", {}, `${fixed} of ${asked.length} fixed, ${left} left${added.length > 0 ? `, ${added.length} new` : ""}. `, kept ? "The rest of the music is as it was." : element("strong", {}, "Music was changed where nothing was asked.")),
    element(
      "ul",
      { class: "asked" },
      ...asked.map((one, number) =>
        element(
          "li",
          { class: one.fixed ? "is-fixed" : null },
          element("strong", {}, one.fixed ? "✓ fixed" : "to fix"),
          ` · ${[one.task ?? one.rule, at(one)].filter(Boolean).join(" · ")}`,
          !one.fixed &&
            one.hints.length > 0 &&
            element(
              "details",
              { "data-key": `${file} task ${number}` },
              element("summary", { "data-key": `${file} task ${number} summary` }, `Show ${count(one.hints.length, "hint")}`),
              element("ol", {}, ...one.hints.map((hint) => element("li", {}, hint))),
            ),
        ),
      ),
    ),
    added.length > 0 && element("p", {}, "New: ", added.map((one) => [one.rule, at(one)].filter(Boolean).join(", ")).join("; ")),
    changed.length > 0 && element("p", {}, "Changed: ", changed.map(at).join("; ")),
  );
}
