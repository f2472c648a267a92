// The page's one dialog: what wants to be shown in it waits for what is shown there.

import { byId } from "../shared/dom";

let last: Promise<unknown> = Promise.resolve();

/** Shows something in the dialog when it is free; it is free again when the promise that `show` gives is done. */
export function inDialog<T>(show: (dialog: HTMLDialogElement) => Promise<T>): Promise<T> {
  const turn = last.then(() => show(byId("dialog", HTMLDialogElement)));
  last = turn.catch(() => undefined);
  return turn;
}
