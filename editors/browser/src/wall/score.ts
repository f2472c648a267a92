// One file of a student: its parts with their pictures, and what is found in them.

import { element } from "../shared/dom";
import { Picture } from "../shared/picture";
import { ago } from "../shared/words";
import { type View, passes } from "./address";
import type { Finding, Score, Wall } from "./contract";
import { type Placed, item, reasons, where } from "./finding";

/** By rule or by bar. */
export type ListedBy = "rule" | "bar";

/** What a file is shown with. */
export interface Shown {
  readonly view: View;
  readonly by: ListedBy;
  readonly rules: Wall["rules"];
  /** Seconds since a time. */
  since(time: number): number;
  /** A picture for a part, perhaps the one that was there before. */
  picture(key: string, pressed: (mark: string) => void): Picture;
}

/** A file as a section of the page. */
export function score(of: Score, shown: Shown): HTMLElement {
  const about = of.about.filter((finding) => passes(shown.view, finding));
  const first = of.parts[0]?.findings.length ?? 0;
  return element(
    "section",
    { class: "score" },
    element("h3", {}, of.file, " ", element("span", { class: "quiet" }, of.notation, of.saved !== null && ", saved ", of.saved !== null && element("span", { "data-saved": of.saved }, ago(shown.since(of.saved))))),
    of.problem !== null && element("p", { class: "notice" }, of.problem),
    ...of.parts.map((part, at) => {
      const findings = part.findings.filter((finding) => passes(shown.view, finding));
      const section = element("section", { class: "part" }, element("h4", {}, part.title));
      const point = (mark: string) => {
        const found = section.querySelector<HTMLElement>(`[data-mark="${CSS.escape(mark)}"]`);
        found?.scrollIntoView({ block: "center" });
        found?.focus({ preventScroll: true });
      };
      const picture = shown.picture(`${of.file} ${at}`, point);
      const places = findings.flatMap(({ mark, severity, rule, message, ...rest }) =>
        mark === null ? [] : [{ id: mark, label: `${severity} ${rule}, ${where({ mark, severity, rule, message, ...rest })}: ${message}` }],
      );
      // It is wider than a narrow page, and is then moved by the arrow keys.
      picture.host.tabIndex = 0;
      const drawn = picture.show(part.svg, places);
      section.append(drawn ? picture.host : element("p", { class: "notice" }, "The picture cannot be shown."));
      const see = (mark: string) => {
        picture.mark(mark);
        picture.focus(mark);
        picture.host.scrollIntoView({ block: "nearest" });
      };
      section.append(listed(findings, `${of.file} ${at}`, shown, see, part.findings.length));
      return section;
    }),
    about.length > 0 && element("h4", {}, "About the whole file"),
    about.length > 0 && listed(about, `${of.file} about`, shown, undefined, first),
  );
}

function listed(findings: readonly Finding[], key: string, { by, rules, view }: Shown, point: ((mark: string) => void) | undefined, unfiltered: number): HTMLElement {
  if (findings.length === 0) {
    const filtered = unfiltered > 0 && (view.rule !== null || view.group !== null || view.severity !== "hint");
    return element("p", { class: "quiet" }, filtered ? "Nothing here of what is shown now." : "Nothing to fix here.");
  }
  const seen = new Map<string, number>();
  const placed = findings.map((finding): Placed => {
    const name = `${key} ${finding.rule} ${finding.bar ?? ""} ${finding.player ?? ""}`;
    const nth = seen.get(name) ?? 0;
    seen.set(name, nth + 1);
    return { finding, key: `${name} ${nth}` };
  });
  if (by === "bar") {
    placed.sort((one, other) => (one.finding.bar ?? 0) - (other.finding.bar ?? 0) || one.finding.line - other.finding.line || one.finding.column - other.finding.column);
    return element("ul", { class: "findings" }, ...placed.map((one) => item(one, { why: false, rule: true }, { point })));
  }
  const byRule = new Map<string, Placed[]>();
  for (const one of placed) {
    byRule.set(one.finding.rule, [...(byRule.get(one.finding.rule) ?? []), one]);
  }
  return element(
    "div",
    { class: "by-rule" },
    ...[...byRule].map(([rule, all]) => {
      const [first] = all;
      const alike = first !== undefined && all.length > 1 && all.every(({ finding }) => finding.why === first.finding.why && finding.instead === first.finding.instead);
      return element(
        "section",
        {},
        element("h5", {}, rules[rule]?.brief ?? rule, " ", element("code", { class: "quiet" }, rule)),
        alike && reasons(first.finding),
        element("ul", { class: "findings" }, ...all.map((one) => item(one, { why: alike, rule: false }, { point }))),
      );
    }),
  );
}
