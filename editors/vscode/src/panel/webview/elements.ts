// The notes and findings of the picture: how mouse, keys and screen readers reach them.

import type { Named } from "../protocol";
import { target } from "./keys";

/** What is done when an element is chosen; `enter` when the user wants to go on in the text. */
type Chosen = (id: string, enter: boolean) => void;

/**
 * Findings are reached by Tab one by one. Of the notes one is in the way of Tab, and the arrow keys go from it to the
 * others, since a part may have hundreds.
 */
export class Elements {
  private notes: SVGElement[] = [];
  private all = new Map<string, SVGElement>();
  private marked: SVGElement | undefined;
  /** The note in the way of Tab. */
  private way: SVGElement | undefined;
  /** What the picture stands in: the page, or a shadow of its own. */
  private root: DocumentOrShadowRoot = document;
  /** The note marked last, also in the picture before this one. */
  private last: string | null = null;

  constructor(private readonly chosen: Chosen) {}

  /** Takes over a new picture. */
  take(svg: SVGSVGElement | undefined, places: readonly Named[]): void {
    this.notes = [];
    this.all = new Map();
    this.marked = undefined;
    this.way = undefined;
    if (svg === undefined) {
      return;
    }
    const root = svg.getRootNode();
    this.root = root instanceof ShadowRoot ? root : document;
    // Found once: to look for each note's would cost the square of a long part.
    const further = new Map<string, SVGElement[]>();
    for (const held of svg.querySelectorAll<SVGElement>("[data-note]")) {
      const name = held.dataset.note ?? "";
      further.set(name, [...(further.get(name) ?? []), held]);
    }
    const named = new Map([...svg.querySelectorAll<SVGElement>("[id]")].map((one) => [one.id, one]));
    for (const { id, label } of places) {
      const element = named.get(id);
      if (element === undefined) {
        continue;
      }
      const note = element.classList.contains("note");
      element.setAttribute("role", "button");
      element.setAttribute("aria-label", label);
      element.setAttribute("tabindex", note ? "-1" : "0");
      element.addEventListener("click", (event) => this.click(event, element));
      element.addEventListener("dblclick", () => this.chosen(element.id, true));
      element.addEventListener("keydown", (event) => this.key(event, element));
      if (!element.querySelector(":scope > title")) {
        const title = document.createElementNS("http://www.w3.org/2000/svg", "title");
        title.textContent = label;
        element.prepend(title);
      }
      // A further head of its length is the same note.
      for (const held of further.get(id) ?? []) {
        held.addEventListener("click", (event) => this.click(event, element));
      }
      this.all.set(id, element);
      if (note) {
        this.notes.push(element);
      }
    }
    this.rove(this.notes[0]);
  }

  /** The element that has the focus. */
  get focused(): string | undefined {
    const { activeElement } = this.root;
    return activeElement !== null && this.all.get(activeElement.id) === activeElement ? activeElement.id : undefined;
  }

  /** Gives an element the focus, if the picture has it still. */
  focus(id: string): void {
    const element = this.all.get(id);
    if (element !== undefined) {
      this.rove(element);
      element.focus({ preventScroll: true });
    }
  }

  /** Marks the note at the cursor, and brings it into view. */
  mark(id: string | null): void {
    const element = id === null ? undefined : this.all.get(id);
    // A picture drawn anew stays where it was scrolled to, unless another note is marked.
    const moved = id !== this.last;
    this.last = id;
    if (element === this.marked) {
      return;
    }
    this.marked?.classList.remove("current");
    this.marked?.removeAttribute("aria-current");
    this.marked = element;
    if (element === undefined) {
      return;
    }
    element.classList.add("current");
    element.setAttribute("aria-current", "true");
    if (moved) {
      element.scrollIntoView({ block: "nearest", inline: "nearest" });
    }
    if (this.focused === undefined) {
      this.rove(element);
    }
  }

  /** Puts a note in the way of Tab, in the place of the one that was. */
  private rove(element: SVGElement | undefined): void {
    if (element === undefined || !element.classList.contains("note")) {
      return;
    }
    this.way?.setAttribute("tabindex", "-1");
    element.setAttribute("tabindex", "0");
    this.way = element;
  }

  private click(event: MouseEvent, element: SVGElement): void {
    // A finding may lie around its note: the innermost is meant.
    event.stopPropagation();
    this.rove(element);
    element.focus({ preventScroll: true });
    this.chosen(element.id, false);
  }

  private key(event: KeyboardEvent, element: SVGElement): void {
    if (event.altKey || event.ctrlKey || event.metaKey || event.shiftKey) {
      return;
    }
    if (event.key === "Enter" || event.key === " ") {
      this.chosen(element.id, event.key === "Enter");
    } else {
      const next = target(event.key, element, this.notes);
      if (next === undefined) {
        return;
      }
      this.rove(next);
      next.focus({ preventScroll: true });
      next.scrollIntoView({ block: "nearest", inline: "nearest" });
    }
    event.preventDefault();
    event.stopPropagation();
  }
}
