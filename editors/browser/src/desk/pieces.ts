// The student's pieces: going on with one, beginning another, or a lesson.

import { button, element } from "../shared/dom";
import { count } from "../shared/words";
import { begin } from "./ask";
import { NOTATIONS, type Lesson, type Notation, type Piece, type State, addressOf } from "./contract";

const CALLED: Record<Notation, string> = { abc: "ABC", kern: "Humdrum **kern", musicxml: "MusicXML" };

/** The list as parts of the page. */
export function pieces({ pieces: all, lessons, word }: State, begun: (piece: Piece) => void, say: (words: string) => void): HTMLElement[] {
  const start = async (from: Parameters<typeof begin>[0]) => {
    const outcome = await begin(from);
    if ("done" in outcome) {
      begun(outcome.done);
    } else {
      say(outcome.failed.words);
    }
  };
  return [
    element(
      "section",
      { "aria-labelledby": "pieces-heading" },
      element("h2", { id: "pieces-heading" }, "Your pieces"),
      all.length === 0
        ? element("p", { class: "quiet" }, "None yet: begin one below.")
        : element("ul", { class: "cards" }, ...all.map((piece) => element("li", {}, element("a", { href: addressOf(piece) }, piece.file), element("span", { class: "quiet" }, ` ${CALLED[piece.notation]}`)))),
    ),
    ...(lessons.length === 0 ? [] : [lessonList(lessons, all, start)]),
    newPiece(start),
    word !== undefined && element("p", { class: "word" }, "Your word is ", element("strong", {}, word), ". With it you come back to this desk from another browser."),
  ].filter((part) => part !== false);
}

function lessonList(lessons: readonly Lesson[], all: readonly Piece[], start: (from: { lesson: string }) => Promise<void>): HTMLElement {
  const items = lessons.map((lesson) => {
    const begun = all.find((piece) => isOf(piece, lesson));
    const act = begun === undefined ? button("Begin", () => void start({ lesson: lesson.id }), { "aria-label": `Begin: ${lesson.title}` }) : element("a", { href: addressOf(begun) }, "Go on", element("span", { class: "heard" }, `: ${lesson.title}`));
    return element("li", {}, element("strong", {}, lesson.title), element("span", { class: "quiet" }, ` ${count(lesson.tasks.length, "task")} `), act);
  });
  return element("section", { "aria-labelledby": "lessons-heading" }, element("h2", { id: "lessons-heading" }, "Lessons"), element("ul", { class: "cards" }, ...items));
}

/** A file's name without its ending, and without all that a file's name may not hold everywhere. */
const plain = (file: string) => file.replace(/\.[^.]*$/, "").toLowerCase().replace(/[^\p{L}\p{N}]+/gu, "");

/** Whether a piece began from a lesson: it is called after it. */
export function isOf(piece: Piece, lesson: Lesson): boolean {
  return plain(piece.file) === plain(lesson.file);
}

function newPiece(start: (from: { notation: Notation; title: string }) => Promise<void>): HTMLElement {
  const title = element("input", { id: "title", required: true, maxlength: 60, autocomplete: "off" });
  const notation = element("select", { id: "notation" }, ...NOTATIONS.map((one) => element("option", { value: one }, CALLED[one])));
  const form = element(
    "form",
    { class: "entrance" },
    element("label", { for: "title" }, "What it is called"),
    title,
    element("label", { for: "notation" }, "Written in"),
    notation,
    element("button", { type: "submit", class: "primary" }, "Begin"),
  );
  form.addEventListener("submit", (event) => {
    event.preventDefault();
    void start({ notation: NOTATIONS.find((one) => one === notation.value) ?? "abc", title: title.value.trim() });
  });
  return element("section", { "aria-labelledby": "new-heading" }, element("h2", { id: "new-heading" }, "A new piece"), form);
}
