// A student's parts, in place of the class: opened by an address of their own, so that Back leads to the class.

import { button, byId, element, write } from "../shared/dom";
import { Picture } from "../shared/picture";
import { ago } from "../shared/words";
import { type View, address, passes } from "./address";
import type { Student } from "./contract";
import { problem } from "./events";
import { marks } from "./marks";
import { type ListedBy, score } from "./score";
import type { Class } from "./state";

/** The page of a student. */
export class StudentPage {
  private readonly article = byId("student", HTMLElement);
  private open: string | null = null;
  private known: Student | undefined;
  private asked = 0;
  private by: ListedBy = "rule";
  private allFixes = false;
  private readonly pictures = new Map<string, { picture: Picture; pressed: (mark: string) => void }>();

  constructor(
    private readonly of: Class,
    private readonly view: () => View,
  ) {}

  /** Opens a student's page, or none. */
  show(id: string | null): void {
    this.article.hidden = id === null;
    if (id !== this.open) {
      this.open = id;
      this.known = undefined;
      this.pictures.clear();
      this.article.replaceChildren();
      if (id !== null) {
        this.draw("Reading the parts…");
        byId("student-heading", HTMLElement).focus();
        void this.ask();
      }
    } else if (id !== null) {
      this.draw();
    }
  }

  /** The student's file was saved. */
  changed(ids: readonly string[]): void {
    if (this.open !== null && ids.includes(this.open)) {
      void this.ask();
    }
  }

  /** Counts on what was how long ago. */
  tick(): void {
    for (const one of this.article.querySelectorAll<HTMLElement>("[data-saved]")) {
      write(one, ago(this.of.since(Number(one.dataset["saved"]))));
    }
  }

  private async ask(): Promise<void> {
    const id = this.open;
    this.asked += 1;
    const asked = this.asked;
    if (id === null) {
      return;
    }
    let words: string | undefined;
    let student: Student | undefined;
    try {
      const answer = await fetch(`/wall/student/${encodeURIComponent(id)}`);
      if (answer.ok) {
        student = (await answer.json()) as Student;
      } else {
        words = await problem(answer);
      }
    } catch {
      words = "The connection is lost, so these parts cannot be read now.";
    }
    if (asked === this.asked && id === this.open) {
      this.known = student ?? this.known;
      this.draw(words);
    }
  }

  private draw(words?: string): void {
    const id = this.open;
    if (id === null) {
      return;
    }
    const { known } = this;
    const row = this.of.rows.get(id);
    const name = known ?? row;
    const title = name === undefined ? "This student is not in the class now" : this.of.called(name);
    const kept = this.keep();
    const heading = element("h2", { id: "student-heading", tabindex: "-1", "data-key": "heading" }, title);
    this.article.replaceChildren(
      this.ways(id),
      heading,
      this.controls(),
      ...(words === undefined ? [] : [element("p", { class: known === undefined ? "quiet" : "notice" }, words)]),
      ...(known === undefined ? [] : this.parts(known)),
    );
    this.article.setAttribute("aria-labelledby", heading.id);
    this.restore(kept);
    document.title = title;
  }

  /** To the class, and to the students before and after. */
  private ways(id: string): HTMLElement {
    const view = this.view();
    const students = this.of.sorted();
    const at = students.findIndex((one) => one.id === id);
    const link = (words: string, student: string | null, key: string) => element("a", { href: address({ ...view, student }), "data-key": key }, words);
    const [before, after] = [students[at - 1], students[at + 1]];
    return element(
      "nav",
      { class: "controls", "aria-label": "Students" },
      link("← All students", null, "all"),
      at > 0 && before && link(`‹ ${this.of.called(before)}`, before.id, "before"),
      at >= 0 && after && link(`${this.of.called(after)} ›`, after.id, "after"),
    );
  }

  private controls(): HTMLElement {
    const by = element("select", { "data-key": "by" }, element("option", { value: "rule" }, "rule"), element("option", { value: "bar" }, "bar"));
    by.value = this.by;
    by.addEventListener("change", () => {
      this.by = by.value === "bar" ? "bar" : "rule";
      this.draw();
    });
    const fixes = button(
      "Show all fixes",
      () => {
        this.allFixes = !this.allFixes;
        for (const one of this.article.querySelectorAll<HTMLDetailsElement>(".finding-item details")) {
          one.open = this.allFixes;
        }
        fixes.setAttribute("aria-pressed", String(this.allFixes));
      },
      { "aria-pressed": String(this.allFixes), "data-key": "fixes" },
    );
    return element("div", { class: "controls" }, element("label", {}, "Listed by ", by), fixes);
  }

  private parts(student: Student): HTMLElement[] {
    const view = this.view();
    const used = new Set<string>();
    const shown = {
      view,
      by: this.by,
      rules: this.of.wall?.rules ?? {},
      since: (time: number) => this.of.since(time),
      picture: (key: string, pressed: (mark: string) => void) => {
        used.add(key);
        let held = this.pictures.get(key);
        if (held === undefined) {
          const made = { picture: new Picture((mark) => made.pressed(mark)), pressed };
          held = made;
          this.pictures.set(key, held);
        }
        held.pressed = pressed;
        return held.picture;
      },
    };
    const sections = [
      ...(student.marks ?? []).map((one) => marks({ ...one, file: this.of.words(student, one.file), asked: one.asked.filter(({ rule }) => passes({ ...view, severity: "hint" }, { rule, severity: "hint" })) })),
      ...student.scores.map((one) => score({ ...one, file: this.of.words(student, one.file), problem: one.problem === null ? null : this.of.words(student, one.problem) }, shown)),
    ];
    for (const key of this.pictures.keys()) {
      if (!used.has(key)) {
        this.pictures.delete(key);
      }
    }
    return student.scores.length === 0 ? [...sections, element("p", { class: "quiet" }, "Nothing is saved yet.")] : sections;
  }

  /** Which element has the focus, and what is unfolded. */
  private keep(): { focused: HTMLElement | null; key: string | undefined; unfolded: Set<string | undefined> } {
    const { activeElement } = document;
    const focused = activeElement instanceof HTMLElement && this.article.contains(activeElement) ? activeElement : null;
    const open = [...this.article.querySelectorAll<HTMLElement>("details[open]")];
    return { focused, key: focused?.dataset["key"], unfolded: new Set(open.map(({ dataset }) => dataset["key"])) };
  }

  private restore({ focused, key, unfolded }: ReturnType<StudentPage["keep"]>): void {
    for (const one of this.article.querySelectorAll<HTMLDetailsElement>("details")) {
      one.open = unfolded.has(one.dataset["key"]) || (this.allFixes && one.closest(".finding-item") !== null);
    }
    if (key !== undefined) {
      this.article.querySelector<HTMLElement>(`[data-key="${CSS.escape(key)}"]`)?.focus({ preventScroll: true });
    } else if (focused !== null) {
      byId("student-heading", HTMLElement).focus({ preventScroll: true });
    }
  }
}
