// What the class meets most, in the rule book's words.

import { byId, element, write } from "../shared/dom";
import { mark } from "../shared/severity";
import { count } from "../shared/words";
import { type View, address, passes } from "./address";
import type { Met } from "./contract";
import type { Class } from "./state";

/** How many rules are shown. */
const MOST = 8;

interface Item {
  readonly item: HTMLLIElement;
  readonly figures: HTMLElement;
  readonly link: HTMLAnchorElement;
}

/** The list of what the class meets most. */
export class MetList {
  private readonly section = byId("met", HTMLElement);
  private readonly list = byId("met-list", HTMLOListElement);
  private readonly items = new Map<string, Item>();

  constructor(private readonly of: Class) {}

  show(view: View): void {
    const rules = this.of.wall?.rules ?? {};
    const severity = (rule: string) => rules[rule]?.severity ?? "information";
    const shown = this.of.met.filter(({ rule, findings }) => findings > 0 && passes(view, { rule, severity: severity(rule) })).slice(0, MOST);
    this.section.hidden = shown.length === 0 || view.student !== null;
    for (const [rule, { item }] of this.items) {
      if (!shown.some((met) => met.rule === rule)) {
        item.remove();
        this.items.delete(rule);
      }
    }
    const { activeElement } = document;
    shown.forEach((met, at) => {
      const made = this.items.get(met.rule) ?? this.item(met);
      write(made.figures, `${count(met.students, "student")}, ${count(met.findings, "finding")}`);
      made.link.setAttribute("href", address({ ...view, rule: met.rule }));
      if (this.list.children[at] !== made.item) {
        this.list.insertBefore(made.item, this.list.children[at] ?? null);
      }
    });
    if (activeElement instanceof HTMLElement && activeElement.isConnected && document.activeElement !== activeElement) {
      activeElement.focus({ preventScroll: true });
    }
  }

  private item(met: Met): Item {
    const figures = element("span", { class: "quiet" });
    const link = element("a", {}, "show only this", element("span", { class: "heard" }, `: ${met.rule}`));
    const severity = this.of.wall?.rules[met.rule]?.severity;
    const item = element(
      "li",
      {},
      element("p", { class: "brief" }, severity && mark(severity), " ", met.brief),
      element("p", {}, figures, " · ", element("code", {}, met.rule), " · ", link),
      element("details", {}, element("summary", {}, "Why, and what to write instead"), element("p", {}, met.why), element("p", {}, met.instead)),
    );
    const made = { item, figures, link };
    this.items.set(met.rule, made);
    return made;
  }
}
