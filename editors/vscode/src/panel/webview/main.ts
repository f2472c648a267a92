// The page with the picture of a part: what it shows, and what it tells the editor.

import type { FromPage, Kept, Pitch, ToPage } from "../protocol";
import { Elements } from "./elements";
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
const button = found("bellhand-pitch", HTMLButtonElement);
const words = found("bellhand-words", HTMLElement);
const picture = found("bellhand-picture", HTMLElement);
const elements = new Elements((id, enter) => editor.postMessage({ kind: "go", id, enter }));

const heard = sound((message) => editor.postMessage(message), found("bellhand-controls", HTMLElement));

function press(pitch: Pitch): void {
  button.setAttribute("aria-pressed", String(pitch === "sounding"));
}

function say(text: string): void {
  words.textContent = text;
  words.hidden = text === "";
}

/** Nothing but words. */
function blank(text: string): void {
  picture.replaceChildren();
  elements.take(undefined, []);
  heading.textContent = "";
  say(text);
}

function show(message: Extract<ToPage, { kind: "picture" }>): void {
  const ready = svgOf(message.svg);
  if (ready === undefined) {
    blank("The picture that the server sent cannot be shown.");
    return;
  }
  const { svg, style } = ready;
  const { scrollLeft, scrollTop } = picture;
  const focused = elements.focused;
  if (!svg.querySelector(":scope > title")) {
    svg.setAttribute("aria-label", message.part);
  }
  svg.setAttribute("role", "group");
  document.adoptedStyleSheets = [style];
  picture.replaceChildren(svg);
  elements.take(svg, message.places);
  picture.scrollTo(scrollLeft, scrollTop);
  elements.mark(message.current);
  if (focused !== undefined) {
    elements.focus(focused);
  }
  heading.textContent = message.part;
  press(message.pitch);
  editor.setState({ score: message.score, pitch: message.pitch } satisfies Kept);
  say("");
}

button.addEventListener("click", () => {
  const pitch = button.getAttribute("aria-pressed") === "true" ? "written" : "sounding";
  press(pitch);
  editor.postMessage({ kind: "pitch", pitch });
});

window.addEventListener("message", ({ data }: MessageEvent<ToPage>) => {
  heard(data);
  switch (data.kind) {
    case "picture":
      show(data);
      break;
    case "current":
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
