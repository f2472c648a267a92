// Entering with the class's code.

import { element } from "../shared/dom";
import { enter } from "./ask";
import { inDialog } from "./dialog";
import { keepWord, wordOf } from "./word";

type Field = readonly [label: HTMLLabelElement, input: HTMLInputElement];

function field(name: string, words: string, attributes: Record<string, string | number | boolean>): Field {
  return [element("label", { for: name }, words), element("input", { id: name, name, autocomplete: "off", spellcheck: "false", "aria-describedby": "wrong", ...attributes })];
}

/** A form to enter by. `name` is set when a student has to enter again. */
export function entrance(entered: () => void, name?: string): HTMLFormElement {
  const wrong = element("p", { id: "wrong", role: "alert", class: "notice", hidden: true });
  const [codeLabel, code] = field("code", "The code on the wall", { required: true, autocapitalize: "characters" });
  const [whoLabel, who] = field("who", "Your name, as the teacher knows you", { required: true, autocomplete: "name", maxlength: 60, readonly: name !== undefined });
  const [wordLabel, word] = field("word", "Your desk’s word, if you were here before in another browser", { autocapitalize: "characters" });
  // The address that a phone's camera reads on the wall has the code in it.
  code.value = new URLSearchParams(location.hash.slice(1)).get("code") ?? "";
  who.value = name ?? "";
  const form = element("form", { class: "entrance" }, codeLabel, code, whoLabel, who, wordLabel, word, wrong, element("button", { type: "submit", class: "primary" }, "Sit down at the desk"));
  form.addEventListener("submit", async (event) => {
    event.preventDefault();
    const called = who.value.trim();
    const outcome = await enter(code.value.trim(), called, word.value.trim() || wordOf(called));
    if ("done" in outcome) {
      // The teacher may spell the name otherwise.
      keepWord(called, outcome.done.word);
      keepWord(outcome.done.name, outcome.done.word);
      entered();
      return;
    }
    const { why, words } = outcome.failed;
    wrong.textContent = why === "gone" ? "The program does not answer. Is this device still in the class's network?" : words;
    wrong.hidden = false;
    code.focus();
    code.select();
  });
  return form;
}

/** Lets a student enter again whose stay has ended, over what is on the page. */
export function enterAgain(name: string): Promise<void> {
  const why = "The class has begun anew, and does not know this desk any more. Nothing you have written is lost.";
  return inDialog(
    (dialog) =>
      new Promise((resolve) => {
        let done = false;
        const form = entrance(() => {
          done = true;
          dialog.close();
        }, name);
        dialog.replaceChildren(element("h2", { id: "dialog-heading" }, "Enter again"), element("p", {}, why), form);
        const closed = () => {
          if (done) {
            dialog.removeEventListener("close", closed);
            resolve();
          } else {
            // Without entering nothing can be saved.
            dialog.showModal();
          }
        };
        dialog.addEventListener("close", closed);
        dialog.showModal();
      }),
  );
}
