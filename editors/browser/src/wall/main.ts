// The wall: a class of students sees its own horn parts, as they are saved.

import { byId, element, offer } from "../shared/dom";
import { chooseLook } from "../shared/look";
import { mark } from "../shared/severity";
import { type View, address, groupOf, view } from "./address";
import { DesksAddress } from "./desks";
import { listen } from "./events";
import { MetList } from "./met";
import { Class } from "./state";
import { StudentPage } from "./student";
import { type Order, Table } from "./table";
import { Told } from "./told";

const lost = byId("lost", HTMLElement);
const filters = {
  severity: byId("severity", HTMLSelectElement),
  group: byId("group", HTMLSelectElement),
  rule: byId("rule", HTMLSelectElement),
  everything: byId("everything", HTMLButtonElement),
};
const sort = byId("sort", HTMLSelectElement);
const columns = byId("columns", HTMLButtonElement);
const anonymous = byId("anonymous", HTMLButtonElement);

const of = new Class();
const table = new Table(of);
const met = new MetList(of);
const told = new Told(of);
const student = new StudentPage(of, view);
const desks = new DesksAddress();

const order = (): Order => ({ sort: sort.value === "most" ? "most" : "name", allColumns: columns.getAttribute("aria-pressed") === "true" });

/** The link that a student's page was opened by, to go back to. */
let opened: string | null = null;

/** Shows everything as it is known now. */
function show(): void {
  const now = view();
  const { wall } = of;
  const listed = now.student === null;
  byId("class", HTMLElement).hidden = !listed;
  if (wall === undefined) {
    return;
  }
  const none = of.rows.size === 0;
  byId("none", HTMLElement).hidden = !none;
  byId("none", HTMLElement).textContent = "No student has saved anything yet.";
  byId("scroll", HTMLElement).hidden = none;
  byId("legend", HTMLElement).hidden = none;
  choices(now);
  summarise();
  table.show(now, order());
  met.show(now);
  student.show(now.student);
  if (listed) {
    document.title = `${wall.name}: the class`;
    if (opened !== null) {
      document.querySelector<HTMLElement>(`a.student[href="${CSS.escape(address({ ...now, student: opened }))}"]`)?.focus();
    }
  }
  opened = now.student;
}

function summarise(): void {
  const rows = [...of.rows.values()];
  const done = rows.filter((row) => row.done).length;
  byId("name", HTMLElement).textContent = of.wall?.name ?? "";
  byId("summary", HTMLElement).textContent = rows.length === 0 ? "" : `${done} of ${rows.length} done: nothing left at ${of.wall?.bar ?? "warning"} or above`;
}

/** What can be chosen to be shown: groups and rules that occur, and those chosen already. */
function choices(now: View): void {
  const { wall } = of;
  const met = [...of.rows.values()].flatMap(({ cells }) => cells);
  const title = (name: string) => wall?.groups.find((group) => group.name === name)?.title ?? name;
  const groups = new Set([...met.map(({ rule }) => groupOf(rule)), ...(now.group === null ? [] : [now.group])]);
  const rules = new Set([...met.map(({ rule }) => rule).filter((rule) => now.group === null || groupOf(rule) === now.group), ...(now.rule === null ? [] : [now.rule])]);
  offer(filters.severity, [["hint", "everything"], ["information", "information and above"], ["warning", "warnings and errors"], ["error", "errors only"]], now.severity);
  offer(filters.group, [["", "all"], ...[...groups].map((name) => [name, title(name)] as const).sort((one, other) => one[1].localeCompare(other[1]))], now.group ?? "");
  offer(filters.rule, [["", "all"], ...[...rules].sort().map((rule) => [rule, rule] as const)], now.rule ?? "");
  filters.everything.hidden = now.severity === "hint" && now.group === null && now.rule === null;
}

/** Shows with another choice of what is counted, without a step for Back. */
function choose(other: Partial<View>): void {
  history.replaceState(null, "", address({ ...view(), ...other }));
  show();
}

const chosen = ({ value }: HTMLSelectElement) => (value === "" ? null : value);
filters.severity.addEventListener("change", () => choose({ severity: filters.severity.value as View["severity"] }));
filters.group.addEventListener("change", () => choose({ group: chosen(filters.group), rule: null }));
filters.rule.addEventListener("change", () => choose({ rule: chosen(filters.rule) }));
filters.everything.addEventListener("click", () => {
  choose({ severity: "hint", group: null, rule: null });
  filters.severity.focus();
});
sort.addEventListener("change", show);
for (const one of [columns, anonymous]) {
  one.addEventListener("click", () => {
    one.setAttribute("aria-pressed", String(one.getAttribute("aria-pressed") !== "true"));
    of.anonymous = anonymous.getAttribute("aria-pressed") === "true";
    told.clear();
    show();
  });
}
byId("skip", HTMLAnchorElement).addEventListener("click", (event) => {
  event.preventDefault();
  byId("main", HTMLElement).focus();
});
window.addEventListener("hashchange", show);
document.addEventListener("keydown", ({ key, target }) => {
  if (key === "Escape" && view().student !== null && !(target instanceof HTMLSelectElement) && document.querySelector("dialog[open]") === null) {
    location.hash = address({ ...view(), student: null });
  }
});
chooseLook(byId("theme", HTMLSelectElement), byId("large", HTMLButtonElement));

byId("legend", HTMLElement).append(
  ...(["error", "warning", "information", "hint"] as const).flatMap((severity) => [element("span", {}, mark(severity), ` ${severity}`)]),
  element("span", {}, element("span", { class: "new" }, "+1"), " new since the lesson began"),
  element("span", {}, element("span", { class: "fixed" }, "✓1"), " fixed since then"),
);

listen({
  whole(wall) {
    lost.hidden = true;
    lost.textContent = "";
    of.take(wall);
    desks.take(wall.desks);
    show();
    student.changed([...of.rows.keys()]);
  },
  change(change) {
    const before = of.change(change);
    const ids = change.students.map(({ id }) => id);
    told.changed(ids, before);
    show();
    student.changed([...ids, ...change.gone]);
  },
  lost(why) {
    const words = ["Connection lost.", why ?? "", "What is shown may be old; it is tried again."].filter(Boolean);
    if (lost.textContent !== words.join(" ")) {
      lost.textContent = words.join(" ");
    }
    lost.hidden = false;
  },
});

setInterval(() => {
  table.tick();
  student.tick();
}, 1000);

show();
