// Where students write in the browser, large enough to be read from the back of the room.

import { button, byId, element } from "../shared/dom";
import type { Wall } from "./contract";
import { square } from "./square";

/** The button that shows it, and what it shows. */
export class DesksAddress {
  private readonly shows = byId("desks", HTMLButtonElement);
  private readonly dialog = byId("address", HTMLDialogElement);

  constructor() {
    this.shows.addEventListener("click", () => this.dialog.showModal());
  }

  take(desks: Wall["desks"]): void {
    this.shows.hidden = desks === null;
    if (desks === null) {
      this.dialog.close();
      return;
    }
    this.dialog.replaceChildren(
      element("h2", { id: "address-heading" }, "Write at a desk"),
      element("p", {}, "Open this address in the browser of your phone, tablet or computer:"),
      element("p", { class: "huge address" }, ...broken(desks.address)),
      element("p", {}, "and enter with this code and your name:"),
      element("p", { class: "huge" }, element("code", {}, desks.code)),
      square(`${desks.address}#code=${encodeURIComponent(desks.code)}`, "The address and the code, for the camera of a phone"),
      button("Close", () => this.dialog.close(), { class: "primary", autofocus: true }),
    );
  }
}

/** An address that is broken, if it must be, between its parts. */
function broken(address: string): (string | HTMLElement)[] {
  return address.split(/(?=:\d)|(?=\/\w+$)/).flatMap((part, at) => (at === 0 ? [part] : [element("wbr"), part]));
}
