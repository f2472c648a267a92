// The sound of the panel's picture: what is to be heard comes from the editor's side.

import type { FromPage, ToPage } from "../../protocol";
import { Controls, type Owner } from "./controls";
import type { Heard } from "./heard";

/** What the picture tells: the note at the cursor, also where it is not drawn. It is told of a note that sounds and is not drawn. */
type Picture = Required<Pick<Owner, "current" | "missing">>;

/** Puts the controls into the page; gives back what takes the editor's messages about sound. */
export function sound(post: (message: FromPage) => void, into: Element, picture: Picture): (message: ToPage) => void {
  let answer: ((heard: Heard | string | undefined) => void) | undefined;
  const controls = new Controls({
    ask: () =>
      new Promise((resolve) => {
        answer = resolve;
        post({ kind: "sound" });
      }),
    ...picture,
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
