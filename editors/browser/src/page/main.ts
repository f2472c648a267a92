// A page that stands by itself, of findings or of a part's pages: each part can be heard, from the note that was pressed on.

import { Controls } from "../../../vscode/src/panel/webview/sound/controls";
import type { Heard } from "../../../vscode/src/panel/webview/sound/heard";

const style = new CSSStyleSheet();
style.replaceSync(`
.sound { display: flex; flex-wrap: wrap; gap: .3rem 1rem; align-items: center; margin: .5rem 0; font: 16px/1.45 sans-serif; }
.sound label { display: flex; gap: .5rem; align-items: center; margin: 0; }
.sound button { min-width: 5.5em; padding: .3rem .8rem; font: inherit; }
.note { cursor: pointer; pointer-events: bounding-box; }
body > .sound { justify-content: center; }
@media print { .sound { display: none; } }
`);
document.adoptedStyleSheets = [...document.adoptedStyleSheets, style];

for (const data of document.querySelectorAll<HTMLScriptElement>("script.heard")) {
  const part = data.parentElement ?? document.body;
  const heard = JSON.parse(data.textContent) as Heard;
  const controls = new Controls({
    ask: async () => heard,
    current: () => part.querySelector(".note.current")?.id ?? null,
    root: () => document,
  });
  controls.element.setAttribute("aria-label", `Sound of ${heard.part}`);
  part.prepend(controls.element);
  part.addEventListener("click", ({ target }) => {
    const note = target instanceof Element ? target.closest("svg .note, svg [data-note]") : null;
    if (note === null) {
      return;
    }
    const chosen = note.classList.contains("note") ? note : document.getElementById(note.getAttribute("data-note") ?? "");
    const before = part.querySelector(".note.current");
    before?.classList.remove("current");
    if (before !== chosen) {
      chosen?.classList.add("current");
    }
  });
}
