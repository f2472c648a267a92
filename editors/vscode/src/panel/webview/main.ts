// The page with the picture of a part: what it shows, and what it tells the editor.

import { kept, type FromPage, type Pitch, type ToPage } from "../protocol";
import { Elements } from "./elements";
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

const editor = acquireVsCodeApi();
const state = kept(JSON.parse(document.body.dataset["kept"] ?? "null"));
const heading = found("bellhand-part", HTMLElement);
const button = found("bellhand-pitch", HTMLButtonElement);
const words = found("bellhand-words", HTMLElement);
const picture = found("bellhand-picture", HTMLElement);
const nonce = document.querySelector("script")?.nonce ?? "";
const elements = new Elements((id, enter) => editor.postMessage({ kind: "go", id, enter }));

function press(pitch: Pitch): void {
  button.setAttribute("aria-pressed", String(pitch === "sounding"));
  if (state !== undefined) {
    editor.setState({ ...state, pitch });
  }
}

function say(text: string): void {
  words.textContent = text;
  words.hidden = text === "";
}

function show(message: Extract<ToPage, { kind: "picture" }>): void {
  const svg = svgOf(message.svg, nonce);
  if (svg === undefined) {
    picture.replaceChildren();
    say("The picture that the server sent cannot be shown.");
    return;
  }
  const { scrollLeft, scrollTop } = picture;
  const focused = elements.focused;
  if (!svg.querySelector(":scope > title")) {
    svg.setAttribute("aria-label", message.part);
  }
  svg.setAttribute("role", "group");
  picture.replaceChildren(svg);
  elements.take(svg, message.places);
  picture.scrollTo(scrollLeft, scrollTop);
  elements.mark(message.current);
  if (focused !== undefined) {
    elements.focus(focused);
  }
  heading.textContent = message.part;
  press(message.pitch);
  say("");
}

button.addEventListener("click", () => {
  const pitch = button.getAttribute("aria-pressed") === "true" ? "written" : "sounding";
  press(pitch);
  editor.postMessage({ kind: "pitch", pitch });
});

window.addEventListener("message", ({ data }: MessageEvent<ToPage>) => {
  switch (data.kind) {
    case "picture":
      show(data);
      break;
    case "current":
      elements.mark(data.current);
      break;
    case "words":
      picture.replaceChildren();
      elements.take(undefined, []);
      heading.textContent = "";
      say(data.words);
      break;
  }
});

press(state?.pitch ?? "written");
editor.postMessage({ kind: "ready" });
