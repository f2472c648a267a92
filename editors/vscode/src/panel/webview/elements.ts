// The notes and findings of the picture: how mouse, keys and screen readers reach them.

import type { Named } from "../protocol";
import { target } from "./keys";

/** What is done when an element is chosen; `enter` when the user wants to go on in the text. */
type Chosen = (id: string, enter: boolean) => void;
/** What leads to the first or last note where that may not be drawn yet. */
type Beyond = (end: "first" | "last") => void;

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

  constructor(
    private readonly chosen: Chosen,
    private readonly beyond?: Beyond,
  ) {}

  /** Hears what is done to notes and findings that stand in `host`, now or later. */
  listen(host: EventTarget): void {
    const heard = <E extends Event>(kind: string, take: (event: E, element: SVGElement) => void) =>
      host.addEventListener(kind, (event) => {
        const element = this.meant(event);
        if (element !== undefined) {
          take(event as E, element);
        }
      });
    heard("click", (_, element) => this.click(element));
    heard("dblclick", (_, element) => this.chosen(element.id, true));
    heard<KeyboardEvent>("keydown", (event, element) => this.key(event, element));
  }

  /** Takes over what stands in a new picture, or in one that has changed. */
  take(picture: (ParentNode & Node) | undefined, places: readonly Named[]): void {
    const root = picture?.getRootNode();
    this.root = root instanceof ShadowRoot ? root : document;
    const named = new Map([...(picture?.querySelectorAll<SVGElement>("[id]") ?? [])].map((one) => [one.id, one]));
    this.notes = [];
    this.all = new Map();
    for (const { id, label } of places) {
      const element = named.get(id);
      if (element === undefined) {
        continue;
      }
      const note = element.classList.contains("note");
      if (element.getAttribute("aria-label") !== label) {
        element.setAttribute("role", "button");
        element.setAttribute("aria-label", label);
        element.setAttribute("tabindex", note ? "-1" : "0");
        if (!element.querySelector(":scope > title")) {
          const title = document.createElementNS("http://www.w3.org/2000/svg", "title");
          title.textContent = label;
          element.prepend(title);
        }
      }
      this.all.set(id, element);
      if (note) {
        this.notes.push(element);
      }
    }
    if (!this.holds(this.marked)) {
      this.unmark();
    }
    const way = this.holds(this.way) ? this.way : (this.marked ?? this.notes[0]);
    for (const note of this.notes) {
      note.setAttribute("tabindex", note === way ? "0" : "-1");
    }
    this.way = way;
  }

  /** Whether an element of this name is drawn. */
  has(id: string): boolean {
    return this.all.has(id);
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
    if (element !== undefined || id === null) {
      this.last = id;
    }
    if (element === this.marked) {
      return;
    }
    this.unmark();
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

  private holds(element: SVGElement | undefined): boolean {
    return element !== undefined && this.all.get(element.id) === element;
  }

  private unmark(): void {
    this.marked?.classList.remove("current");
    this.marked?.removeAttribute("aria-current");
    this.marked = undefined;
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

  /** What an event is about: a finding may lie around its note, and the innermost is meant. */
  private meant(event: Event): SVGElement | undefined {
    for (const one of event.composedPath()) {
      // A further head of its length is the same note.
      const element = one instanceof SVGElement ? this.all.get(one.dataset.note ?? one.id) : undefined;
      if (element !== undefined) {
        return element;
      }
    }
    return undefined;
  }

  private click(element: SVGElement): void {
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
      if (event.key === "Home" || event.key === "End") {
        this.beyond?.(event.key === "Home" ? "first" : "last");
      }
    }
    event.preventDefault();
    event.stopPropagation();
  }
}
