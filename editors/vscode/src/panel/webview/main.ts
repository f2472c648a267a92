// The page with the picture of a part: what it shows, and what it tells the editor.

import type { FromPage, Kept, Look, ToPage } from "../protocol";
import { Elements } from "./elements";
import { Lines } from "./lines";
import { sound } from "./sound/page";
import { svgOf } from "./svg";

interface Editor {
  postMessage(message: FromPage): void;
  setState(state: unknown): void;
}
declare function acquireVsCodeApi(): Editor;

function found<T extends HTMLElement>(id: string, kind: new () => T): T {
  const element = document.getElementById(id);
  if (element instanceof kind) {
    return element;
  }
  throw new Error(`the page has no ${id}`);
}

/** The picture is enlarged until words of this many of its pixels are as large as the editor's own. */
const SMALLEST_WORDS = 9;
/** How long a change of width waits for the next one, in milliseconds. */
const PAUSE = 200;

const editor = acquireVsCodeApi();
const heading = found("bellhand-part", HTMLElement);
const switches = { pitch: found("bellhand-pitch", HTMLButtonElement), effort: found("bellhand-effort", HTMLButtonElement) };
const words = found("bellhand-words", HTMLElement);
const picture = found("bellhand-picture", HTMLElement);
const head = part("head");
const lines = new Lines(picture, part("lines"), (first, last) => editor.postMessage({ kind: "view", first, last }));
const foot = part("foot");
const elements = new Elements(
  (id, enter) => editor.postMessage({ kind: "go", id, enter }),
  (end) => {
    toEnd = end;
    lines.reveal(end === "first" ? 0 : lines.count - 1);
  },
);
/** The note at the cursor. */
let followed: string | null = null;
/** Where Home or End leads to, while that is being drawn. */
let toEnd: "first" | "last" | undefined;
/** Which part is shown, and of which score. */
let whose = "";
/** Heading and legend, as the server sent them. */
let around: readonly string[] = [];
elements.listen(picture);

/** A part of the picture, one below the other. */
function part(name: string): HTMLElement {
  const element = document.createElement("div");
  element.className = name;
  picture.append(element);
  return element;
}

const heard = sound((message) => editor.postMessage(message), found("bellhand-controls", HTMLElement), {
  current: () => followed,
  missing: (id) => lines.revealNote(Number(id.slice("note-".length))),
});

function press({ pitch, effort }: Look): void {
  switches.pitch.setAttribute("aria-pressed", String(pitch === "sounding"));
  switches.effort.setAttribute("aria-pressed", String(effort));
}

function say(text: string): void {
  words.textContent = text;
  words.hidden = text === "";
}

/** Nothing but words. */
function blank(text: string): void {
  lines.clear();
  head.replaceChildren();
  foot.replaceChildren();
  around = [];
  whose = "";
  elements.take(undefined, []);
  heading.textContent = "";
  say(text);
}

/** Shows heading and legend. Gives back whether they can be shown. */
function frame(...texts: readonly [string, string]): boolean {
  if (texts.every((text, place) => text === around[place])) {
    return true;
  }
  const [above, below] = [svgOf(texts[0]), svgOf(texts[1])];
  if (above === undefined || below === undefined) {
    return false;
  }
  document.adoptedStyleSheets = [above.style];
  head.replaceChildren(above.svg);
  foot.replaceChildren(below.svg);
  around = texts;
  return true;
}

function show(message: Extract<ToPage, { kind: "picture" }>): void {
  const active = document.activeElement;
  const { focused } = elements;
  if (!frame(message.head, message.foot) || !lines.show(message.lines, message.first, message.drawn)) {
    blank("The picture that the server sent cannot be shown.");
    return;
  }
  elements.take(picture, message.places);
  const other = whose !== `${message.score} ${message.part}`;
  if (other) {
    picture.scrollTo(0, 0);
    whose = `${message.score} ${message.part}`;
  }
  if (active instanceof SVGElement && active.isConnected) {
    // What moves to another place loses the focus.
    active.focus({ preventScroll: true });
  } else if (focused !== undefined && document.activeElement === document.body) {
    elements.focus(focused);
  }
  enter();
  follow(message.current, other);
  heading.textContent = message.part;
  const { score, pitch, effort } = message;
  press({ pitch, effort });
  editor.setState({ score, pitch, effort } satisfies Kept);
  say("");
  lines.look();
}

/** Goes on from a line that was reached before it was drawn to what stands on it. */
function enter(): void {
  const { activeElement } = document;
  if (toEnd !== undefined) {
    const notes = picture.querySelectorAll<SVGElement>(".note[role=button]");
    const end = toEnd === "first" ? "div.row:first-child" : "div.row:last-child";
    if (picture.querySelector(`${end} svg`) !== null) {
      elements.focus((toEnd === "first" ? notes[0] : notes[notes.length - 1])?.id ?? "");
      toEnd = undefined;
    }
  } else if (activeElement?.classList.contains("row")) {
    elements.focus((activeElement.querySelector(".finding[role=button]") ?? activeElement.querySelector(".note[role=button]"))?.id ?? "");
  }
}

/** Marks the note at the cursor, wherever it is; in another part it is looked for also where it has the same name. */
function follow(current: Extract<ToPage, { kind: "picture" }>["current"], other: boolean): void {
  const id = current?.id ?? null;
  const moved = other || id !== followed;
  if (other) {
    elements.mark(null);
  }
  followed = id;
  elements.mark(id);
  if (moved && current !== null && !elements.has(current.id)) {
    lines.reveal(current.line);
  }
}

for (const one of Object.values(switches)) {
  one.addEventListener("click", () => {
    one.setAttribute("aria-pressed", String(one.getAttribute("aria-pressed") !== "true"));
    const [sounding, effort] = [switches.pitch, switches.effort].map((one) => one.getAttribute("aria-pressed") === "true");
    editor.postMessage({ kind: "look", look: { pitch: sounding === true ? "sounding" : "written", effort: effort === true } });
  });
}

window.addEventListener("message", ({ data }: MessageEvent<ToPage>) => {
  heard(data);
  switch (data.kind) {
    case "picture":
      show(data);
      break;
    case "current":
      followed = data.current;
      elements.mark(data.current);
      break;
    case "words":
      blank(data.words);
      break;
  }
});

/** The width there is for the picture, in its own pixels. */
function width(): number {
  const style = getComputedStyle(picture);
  const zoom = Number.parseFloat(style.fontSize) / SMALLEST_WORDS;
  return Math.floor((picture.clientWidth - Number.parseFloat(style.paddingLeft) - Number.parseFloat(style.paddingRight)) / zoom);
}

let told = 0;
let waiting: number | undefined;
new ResizeObserver(() => {
  clearTimeout(waiting);
  waiting = setTimeout(
    () => {
      const now = width();
      if (now > 0 && now !== told) {
        editor.postMessage({ kind: told === 0 ? "ready" : "width", width: now });
        told = now;
      }
    },
    told === 0 ? 0 : PAUSE,
  );
}).observe(picture);
