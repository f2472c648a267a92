// What is found in the text, as a list beside it.

import { button, element } from "../shared/dom";
import { SEVERITIES, mark } from "../shared/severity";
import { count, list } from "../shared/words";
import { type Editor, severityOf } from "./editor";
import { fixes } from "./fixes";
import { type Diagnostic, same } from "./protocol";
import { type Talk, offset } from "./talk";

/** The list of findings. */
export class Findings {
  private readonly summary = element("p", { role: "status", class: "quiet" }, "Reading…");
  private readonly items = element("ul", { class: "findings" });
  readonly section = element("section", { "aria-labelledby": "findings-heading" }, element("h2", { id: "findings-heading", tabindex: "-1" }, "What the player would say"), this.summary, this.items);
  private shown: { readonly diagnostic: Diagnostic; readonly item: HTMLLIElement; readonly details: HTMLDetailsElement }[] = [];

  constructor(
    private readonly talk: Talk,
    private readonly editor: Editor,
    private readonly say: (words: string) => void,
  ) {}

  /** Shows these. What stays as it was keeps its element, and with it the focus. */
  show(diagnostics: readonly Diagnostic[]): void {
    const counted = SEVERITIES.map((severity) => [severity, diagnostics.filter((one) => severityOf(one) === severity).length] as const).filter(([, number]) => number > 0);
    const words = counted.map(([severity, number]) => (severity === "information" ? `${number} information` : count(number, severity)));
    const summary = words.length === 0 ? "Nothing to fix." : `${list(words)}.`;
    if (this.summary.textContent !== summary) {
      this.summary.textContent = summary;
    }
    const before = [...this.shown];
    const focused = before.findIndex(({ item }) => item.contains(document.activeElement));
    this.shown = diagnostics.map((diagnostic) => {
      const at = before.findIndex((one) => one.diagnostic.message === diagnostic.message && one.diagnostic.code === diagnostic.code && one.diagnostic.data?.bar === diagnostic.data?.bar);
      const [kept] = at < 0 ? [] : before.splice(at, 1);
      return kept !== undefined && same(kept.diagnostic, diagnostic) ? kept : this.item(diagnostic, kept);
    });
    const open = this.shown.filter(({ details }) => details.open);
    if (this.shown.some(({ item }, at) => this.items.children[at] !== item) || this.items.childElementCount !== this.shown.length) {
      const { activeElement } = document;
      this.items.replaceChildren(...this.shown.map(({ item }) => item));
      if (activeElement instanceof HTMLElement && activeElement.isConnected) {
        activeElement.focus({ preventScroll: true });
      } else if (focused >= 0) {
        (this.shown[Math.min(focused, this.shown.length - 1)]?.item ?? this.heading).focus({ preventScroll: true });
      }
    }
    // What can be done was asked about another text.
    for (const { details } of open) {
      details.dispatchEvent(new Event("toggle"));
    }
  }

  /** Leads to the finding at a place, or the next one after it. */
  goTo(at: number): void {
    const placed = this.shown.map((one) => ({ ...one, from: offset(this.editor.text, one.diagnostic.range.start), to: offset(this.editor.text, one.diagnostic.range.end) }));
    const here = placed.find(({ from, to }) => from <= at && at <= to) ?? placed.find(({ from }) => from >= at) ?? placed[0];
    if (here === undefined) {
      this.say("Nothing to fix.");
      return;
    }
    here.details.open = true;
    here.item.scrollIntoView({ block: "nearest" });
    here.details.querySelector("summary")?.focus({ preventScroll: true });
  }

  private get heading(): HTMLElement {
    return this.section.querySelector("h2") ?? this.section;
  }

  private item(diagnostic: Diagnostic, instead: { readonly details: HTMLDetailsElement } | undefined) {
    const severity = severityOf(diagnostic);
    const { bar, player } = diagnostic.data ?? {};
    const where = [typeof bar === "number" ? `bar ${bar}` : `line ${diagnostic.range.start.line + 1}`, typeof player === "number" ? `player ${player}` : ""].filter(Boolean).join(", ");
    const details = fixes(diagnostic, this.talk, this.editor, this.say);
    details.open = instead?.details.open === true;
    const go = button(where, () => {
      const { text } = this.editor;
      this.editor.select(offset(text, diagnostic.range.start), offset(text, diagnostic.range.end), true);
    });
    go.setAttribute("aria-label", `${where}: show in the text`);
    const item = element(
      "li",
      { tabindex: "-1" },
      element("p", { class: "what" }, mark(severity), " ", severity, " ", go, " ", element("span", { class: "quiet" }, String(diagnostic.code ?? ""))),
      element("p", {}, diagnostic.message),
      details,
    );
    return { diagnostic, item, details };
  }
}
