// Two writings of one piece: both are shown, and the student chooses.

import { button, element } from "../shared/dom";
import { inDialog } from "./dialog";

/** What the two texts are, in words, and what choosing one of them is called. */
export interface Asked {
  readonly heading: string;
  readonly why: string;
  readonly mine: { readonly title: string; readonly text: string; readonly choose: string };
  readonly other: { readonly title: string; readonly text: string; readonly choose: string };
}

/** Shows both; which is chosen, or `undefined` when that is left open. */
export function chooseBetween(asked: Asked): Promise<"mine" | "other" | undefined> {
  return inDialog((dialog) => show(dialog, asked));
}

function show(dialog: HTMLDialogElement, { heading, why, mine, other }: Asked): Promise<"mine" | "other" | undefined> {
  return new Promise((resolve) => {
    let chosen: "mine" | "other" | undefined;
    const choose = (which: "mine" | "other") => () => {
      chosen = which;
      dialog.close();
    };
    const differ = differing(mine.text, other.text);
    const pane = (title: string, text: string, [from, to]: readonly [number, number], act: HTMLButtonElement) =>
      element("section", {}, element("h3", {}, title), element("pre", { tabindex: "0", role: "group", "aria-label": title }, ...lines(text, from, to)), act);
    dialog.replaceChildren(
      element("h2", { id: "dialog-heading" }, heading),
      element("p", {}, why, " ", "Lines that are not the same are marked ≠."),
      element(
        "div",
        { class: "both" },
        pane(mine.title, mine.text, differ.mine, button(mine.choose, choose("mine"))),
        pane(other.title, other.text, differ.other, button(other.choose, choose("other"))),
      ),
    );
    dialog.addEventListener("close", () => resolve(chosen), { once: true });
    dialog.showModal();
    dialog.querySelector<HTMLElement>(".differs")?.scrollIntoView({ block: "center" });
  });
}

/** From which line to which two texts are not the same. */
function differing(mine: string, other: string): { mine: readonly [number, number]; other: readonly [number, number] } {
  const [one, two] = [mine.split(/\r?\n/), other.split(/\r?\n/)];
  let start = 0;
  while (start < Math.min(one.length, two.length) && one[start] === two[start]) {
    start += 1;
  }
  let end = 0;
  while (end < Math.min(one.length, two.length) - start && one[one.length - 1 - end] === two[two.length - 1 - end]) {
    end += 1;
  }
  return { mine: [start, one.length - end], other: [start, two.length - end] };
}

function lines(text: string, from: number, to: number): HTMLElement[] {
  return text.split(/\r?\n/).map((line, at) => {
    const differs = at >= from && at < to;
    return element("span", { class: differs ? "line-of-text differs" : "line-of-text" }, `${differs ? "≠" : " "} ${line}\n`);
  });
}
