// The notes that sound, lit in the picture and brought into view.

/** The class of a note's element while it sounds. */
const CLASS = "sounding";
/** How often a note that is not drawn yet is looked for, in milliseconds. */
const AGAIN = 60;

/** Lights notes by their names, wherever they are drawn at that moment; one that is not drawn is told to `missing`. */
export class Lit {
  private readonly shown = new Map<string, readonly Element[]>();
  /** The line of music that was brought into view last. */
  private line: Element | undefined;
  private timer: ReturnType<typeof setTimeout> | undefined;

  constructor(
    private readonly root: () => Document | ShadowRoot,
    private readonly missing: (id: string) => void,
  ) {}

  /** Lights these notes and no others. */
  show(ids: ReadonlySet<string>): void {
    clearTimeout(this.timer);
    let sought = false;
    for (const [id, elements] of this.shown) {
      if (!ids.has(id)) {
        for (const element of elements) {
          element.classList.remove(CLASS);
        }
        this.shown.delete(id);
      }
    }
    for (const id of ids) {
      if (this.shown.get(id)?.some(({ isConnected }) => isConnected) === true) {
        continue;
      }
      const element = this.root().getElementById(id);
      if (element === null) {
        this.missing(id);
        sought = true;
        continue;
      }
      // A length that no one note value says takes several heads.
      const further = element.closest("svg")?.querySelectorAll(`[data-note="${CSS.escape(id)}"]`) ?? [];
      const elements = [element, ...further];
      for (const one of elements) {
        one.classList.add(CLASS);
      }
      this.shown.set(id, elements);
      this.follow(element);
    }
    if (sought) {
      this.timer = setTimeout(() => this.show(ids), AGAIN);
    }
    if (ids.size === 0) {
      this.line = undefined;
    }
  }

  /** Brings the line of a note into view, once for each line, so that whoever looks elsewhere meanwhile may. */
  private follow(element: Element): void {
    const line = element.closest(".system") ?? element;
    if (line === this.line) {
      return;
    }
    this.line = line;
    const still = matchMedia("(prefers-reduced-motion: reduce)").matches;
    line.scrollIntoView({ block: "nearest", inline: "nearest", behavior: still ? "auto" : "smooth" });
  }
}
