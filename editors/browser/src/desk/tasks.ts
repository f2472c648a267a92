// What is to be done in a lesson, with hints one at a time.

import { button, element } from "../shared/dom";
import { count } from "../shared/words";
import type { Lesson, Task } from "./contract";

/** A lesson's tasks as a section of the page. */
export function tasks({ title, tasks: all }: Lesson): HTMLElement {
  return element(
    "section",
    { "aria-labelledby": "tasks-heading" },
    element("h2", { id: "tasks-heading" }, title),
    element("ol", { class: "tasks" }, ...all.map(task)),
  );
}

function task({ text, hints }: Task): HTMLLIElement {
  const shown = element("ul", { class: "hints", "aria-live": "polite" });
  const item = element("li", {}, element("p", {}, text), shown);
  if (hints.length === 0) {
    return item;
  }
  const words = (at: number) => `${at === 0 ? "Show a hint" : "Show the next hint"} (${count(hints.length - at, "hint")} left)`;
  let at = 0;
  const next = button(words(0), () => {
    if (at >= hints.length) {
      return;
    }
    shown.append(element("li", {}, hints[at] ?? ""));
    at += 1;
    next.textContent = at < hints.length ? words(at) : "No more hints";
    // A button that goes away, or is disabled, loses the focus.
    next.setAttribute("aria-disabled", String(at >= hints.length));
  });
  item.append(next);
  return item;
}
