// What can be done about a finding: fixes that keep the music, fixes that change it, and letting it be.

import { button, element } from "../shared/dom";
import type { Editor } from "./editor";
import { type CodeAction, type Diagnostic, same } from "./protocol";
import type { Talk } from "./talk";

/** How the server marks a fix after which the music is another. */
const CHANGES = " (changes the music)";
/** How it calls what only silences. */
const SILENT = "Ignore ";

/** A list of what can be done, asked for when it is unfolded. */
export function fixes(diagnostic: Diagnostic, talk: Talk, editor: Editor, say: (words: string) => void): HTMLDetailsElement {
  const list = element("ul", {});
  const details = element("details", {}, element("summary", {}, "What can be done"), list);
  details.addEventListener("toggle", () => {
    if (details.open) {
      void fill(list, diagnostic, talk, editor, say);
    }
  });
  return details;
}

async function fill(list: HTMLUListElement, diagnostic: Diagnostic, talk: Talk, editor: Editor, say: (words: string) => void): Promise<void> {
  if (list.childElementCount === 0) {
    list.replaceChildren(element("li", { class: "quiet" }, "Asking…"));
  }
  const asked = { range: diagnostic.range, context: { diagnostics: [diagnostic], only: ["quickfix"], triggerKind: 1 } };
  const actions = await talk.ask<readonly CodeAction[] | null>("textDocument/codeAction", asked);
  if (actions === undefined) {
    list.replaceChildren(element("li", { class: "quiet" }, "This cannot be asked now: the text is changing, or the connection is lost. Fold it and unfold it to try again."));
    return;
  }
  const own = (actions ?? []).filter((action) => action.diagnostics?.some((one) => same(one, diagnostic)) === true);
  const items = own.map((action) => {
    const changes = action.title.endsWith(CHANGES);
    const silent = action.title.startsWith(SILENT);
    const title = changes ? action.title.slice(0, -CHANGES.length) : action.title;
    const kind = silent ? "lets it be" : changes ? "changes the music: read it again" : "safe: sounds the same";
    const does = button(title, () => void apply(action, talk, editor, say), silent ? {} : { class: changes ? "review" : "safe" });
    return element("li", {}, does, " ", element("span", { class: changes ? "kind-review" : "kind" }, kind));
  });
  const nothing = own.every(({ title }) => title.startsWith(SILENT));
  list.replaceChildren(...(nothing ? [element("li", {}, "Nothing is done for you here: the words above say what to write.")] : []), ...items);
}

async function apply(action: CodeAction, talk: Talk, editor: Editor, say: (words: string) => void): Promise<void> {
  const spoken = talk.spoken;
  let chosen = action;
  if (chosen.edit === undefined) {
    const resolved = await talk.request<CodeAction>("codeAction/resolve", action);
    if ("refused" in resolved) {
      say(`This could not be done: ${resolved.refused}`);
      return;
    }
    chosen = resolved.answer;
  }
  if (spoken === undefined || spoken !== talk.spoken) {
    say("The text has changed meanwhile, so nothing was done. Try it again.");
    return;
  }
  const edits = chosen.edit?.documentChanges?.flatMap((change) => change.edits) ?? [];
  editor.edit(edits);
  say(`Done: ${action.title}. Undo takes it back.`);
  editor.view.focus();
}
