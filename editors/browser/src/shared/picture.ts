// A part's picture, as the server has drawn it, in a shadow of its own: several on a page do not share styles or names.

import type { Named } from "../../../vscode/src/panel/protocol";
import { Elements } from "../../../vscode/src/panel/webview/elements";
import { svgOf } from "../../../vscode/src/panel/webview/svg";
import { element } from "./dom";

/** What the page adds to the picture's own style. */
const OWN = `
svg { display: block; width: 100%; min-width: var(--least, 0); height: auto; }
[role="button"] { cursor: pointer; scroll-margin: 4em; }
[role="button"]:focus-visible { outline: 2px solid var(--focus); outline-offset: 2px; }
.note { pointer-events: bounding-box; }
.note.current { outline: 1.5px dashed var(--current); outline-offset: 3px; }
.finding.current .shape { stroke: var(--current); stroke-width: 2.5; }
`;

/** The page's policy has styles of this nonce alone, also while a picture is read. */
const NONCE = document.querySelector<HTMLMetaElement>("meta[name=nonce]")?.content ?? "";

/** A picture on the page. */
export class Picture {
  /** What stands on the page. */
  readonly host = element("div", { class: "picture", role: "group", "aria-label": "The part as a picture" });
  private readonly root = this.host.attachShadow({ mode: "open" });
  private readonly elements: Elements;
  private drawn: string | undefined;
  private named = "";

  /** `chosen` is told which note or finding was pressed, and whether by Enter or twice. */
  constructor(chosen: (id: string, enter: boolean) => void) {
    this.elements = new Elements(chosen);
    this.elements.listen(this.root);
  }

  /** Shows a drawing, whose elements of these names can be pressed. Gives back whether it is one. */
  show(svg: string, places: readonly Named[]): boolean {
    const named = JSON.stringify(places);
    if (svg === this.drawn && named === this.named) {
      return true;
    }
    const ready = svgOf(svg.replaceAll("<style>", `<style nonce="${NONCE}">`));
    if (ready === undefined) {
      return false;
    }
    const own = new CSSStyleSheet();
    own.replaceSync(OWN);
    ready.svg.setAttribute("role", "group");
    const { focused } = this.elements;
    this.root.adoptedStyleSheets = [ready.style, own];
    this.root.replaceChildren(ready.svg);
    this.elements.take(ready.svg, places);
    if (focused !== undefined) {
      this.elements.focus(focused);
    }
    [this.drawn, this.named] = [svg, named];
    return true;
  }

  /** Marks a note or finding as the one that is meant, and brings it into view. */
  mark(id: string | null): void {
    this.elements.mark(id);
  }

  /** Gives a note or finding the focus. */
  focus(id: string): void {
    this.elements.focus(id);
  }

  /** Shows nothing. */
  clear(): void {
    this.root.replaceChildren();
    this.elements.take(undefined, []);
    this.drawn = undefined;
  }
}
