// The desk: a student writes a horn part in the browser, with nothing installed.

import { byId, element } from "../shared/dom";
import { chooseLook } from "../shared/look";
import { leave, state } from "./ask";
import { type Piece, type State, addressOf } from "./contract";
import { entrance } from "./enter";
import { Desk, type Page } from "./piece";
import { isOf, pieces } from "./pieces";

/** How long words about something done stay, in milliseconds. */
const SAID = 8000;

const main = byId("main", HTMLElement);
const heading = byId("heading", HTMLElement);
const saved = byId("saved", HTMLElement);
const notice = byId("notice", HTMLElement);
const back = byId("back", HTMLAnchorElement);
const leaves = byId("leave", HTMLButtonElement);

/** What is open now. */
let desk: Desk | undefined;
/** Counts what is shown, so that an answer that comes late is not shown in the place of something else. */
let turn = 0;

/** The words that stand over the page: why nothing is heard, why nothing is saved, and what was just done. */
const words: { lost?: string | undefined; stuck?: string | undefined; said?: string | undefined } = {};
let fading: ReturnType<typeof setTimeout> | undefined;

function tell(): void {
  const text = [words.stuck, words.lost, words.said].filter(Boolean).join(" ");
  notice.hidden = text === "";
  if (notice.textContent !== text) {
    notice.textContent = text;
  }
  notice.classList.toggle("calm", words.stuck === undefined && words.lost === undefined);
}

const page: Page = {
  standing(standing) {
    const { kind } = standing;
    words.stuck = standing.kind === "stuck" ? standing.words : undefined;
    saved.hidden = false;
    saved.textContent = { saved: "✓ saved", waiting: "not saved yet", saving: "saving…", stuck: "not saved" }[kind];
    saved.dataset["kind"] = kind;
    tell();
  },
  say(said) {
    words.said = said;
    clearTimeout(fading);
    fading = setTimeout(() => {
      words.said = undefined;
      tell();
    }, SAID);
    tell();
  },
  lost(why) {
    words.lost = why;
    tell();
  },
  again: () => void show(),
};

/** Clears the page for something else. */
function clear(title: string, ...children: readonly HTMLElement[]): number {
  desk?.close();
  desk = undefined;
  words.lost = undefined;
  words.stuck = undefined;
  saved.hidden = true;
  tell();
  heading.textContent = title;
  document.title = title;
  main.replaceChildren(...children);
  document.body.dataset["view"] = "list";
  turn += 1;
  return turn;
}

/** Shows what the page's address says. */
async function show(): Promise<void> {
  const asked = clear("The desk", element("p", { class: "quiet" }, "A moment…"));
  const known = await state();
  if (asked !== turn) {
    return;
  }
  back.hidden = true;
  leaves.hidden = "failed" in known;
  if ("failed" in known) {
    if (known.failed.why === "left") {
      clear("The desk", element("p", {}, "Write a horn part, and see what its player would say."), entrance(() => void show()));
      const code = byId("code", HTMLInputElement);
      (code.value === "" ? code : byId("who", HTMLInputElement)).focus();
    } else {
      clear("The desk", element("p", { class: "notice" }, `${known.failed.words} What you have typed is kept in this browser.`));
      setTimeout(() => asked + 1 === turn && void show(), 3000);
    }
    return;
  }
  const piece = known.done.pieces.find((one) => addressOf(one) === location.hash);
  if (piece === undefined) {
    list(known.done);
  } else {
    await write(known.done, piece);
  }
}

function list(known: State): void {
  const begun = (piece: Piece) => {
    location.hash = addressOf(piece);
  };
  clear(`The desk of ${known.name}`, ...pieces(known, begun, (said) => page.say(said)));
  heading.focus();
}

async function write(known: State, piece: Piece): Promise<void> {
  const asked = clear(piece.file, element("p", { class: "quiet" }, "Opening…"));
  const lesson = known.lessons.find((one) => isOf(piece, one));
  const opened = await Desk.open(known.name, piece, lesson, page);
  if (asked !== turn) {
    if (opened instanceof Desk) {
      opened.close();
    }
    return;
  }
  back.hidden = false;
  if (opened === undefined) {
    void show();
  } else if (typeof opened === "string") {
    main.replaceChildren(element("p", { class: "notice" }, opened));
  } else {
    desk = opened;
    document.body.dataset["view"] = "piece";
    main.replaceChildren(...opened.parts);
    opened.focus();
  }
}

leaves.addEventListener("click", async () => {
  clear("The desk");
  await leave();
  location.hash = "#/";
  void show();
});
window.addEventListener("hashchange", () => void show());
chooseLook(byId("theme", HTMLSelectElement), byId("large", HTMLButtonElement));
void show();
