// The sound of the panel's picture: what is to be heard comes from the editor's side.

import type { FromPage, ToPage } from "../../protocol";
import { Controls } from "./controls";
import type { Heard } from "./heard";

/** Puts the controls into the page; gives back what takes the editor's messages about sound. */
export function sound(post: (message: FromPage) => void, into: Element): (message: ToPage) => void {
  let answer: ((heard: Heard | string | undefined) => void) | undefined;
  const controls = new Controls({
    ask: () =>
      new Promise((resolve) => {
        answer = resolve;
        post({ kind: "sound" });
      }),
    current: () => document.querySelector(".note.current")?.id ?? null,
    root: () => document,
  });
  into.prepend(controls.element);
  return (message) => {
    if (message.kind === "sound") {
      answer?.(message.heard ?? undefined);
    } else if (message.kind === "silence" || message.kind === "words") {
      controls.stop();
    }
  };
}
