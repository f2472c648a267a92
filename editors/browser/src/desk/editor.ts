// The text that is written, with what is found in it underlined.

import { type CompletionContext, type CompletionResult, autocompletion, closeCompletion, completionKeymap } from "@codemirror/autocomplete";
import { defaultKeymap, history, historyKeymap, insertTab } from "@codemirror/commands";
import { type Diagnostic as Underlined, lintGutter, lintKeymap, linter, setDiagnostics } from "@codemirror/lint";
import { highlightSelectionMatches, searchKeymap } from "@codemirror/search";
import { type ChangeSet, type ChangeSpec, EditorState, Prec, type Text } from "@codemirror/state";
import { EditorView, drawSelection, highlightActiveLine, highlightActiveLineGutter, hoverTooltip, keymap, lineNumbers } from "@codemirror/view";
import { element } from "../shared/dom";
import { SEVERITIES } from "../shared/severity";
import { colours } from "./colours";
import type { Notation } from "./contract";
import type { CompletionItem, Diagnostic, TextEdit } from "./protocol";
import { offset } from "./talk";

/** What the lint package calls the severities. */
const CALLED = { error: "error", warning: "warning", information: "info", hint: "hint" } as const;

/** Who is asked and told. */
export interface Owner {
  changed(changes: ChangeSet, from: Text, to: Text): void;
  /** The cursor stands elsewhere. */
  moved(): void;
  /** What is to be known of a place, in words. */
  about(at: number): Promise<string | undefined>;
  /** What can be written at a place, if the server says so. */
  items(at: number, typed: string | undefined): Promise<readonly CompletionItem[] | undefined>;
  /** The user asks what can be done about the finding at the cursor. */
  act(): void;
}

/** Findings as severities of the page. */
export const severityOf = ({ severity }: Diagnostic) => SEVERITIES[(severity ?? 3) - 1] ?? "information";

/** Edits of the protocol as changes of the text. */
export function changesOf(text: Text, edits: readonly TextEdit[]): ChangeSpec[] {
  return edits.map(({ range, newText }) => ({ from: offset(text, range.start), to: offset(text, range.end), insert: newText }));
}

const theme = EditorView.theme({
  "&": { height: "100%", color: "var(--ink)", backgroundColor: "var(--paper)", fontSize: "1rem" },
  ".cm-scroller": { fontFamily: 'ui-monospace, "Cascadia Mono", "DejaVu Sans Mono", Menlo, Consolas, monospace', lineHeight: "1.6" },
  ".cm-content": { caretColor: "var(--ink)" },
  ".cm-cursor": { borderLeftColor: "var(--ink)", borderLeftWidth: "2px" },
  "&.cm-focused": { outline: "3px solid var(--focus)", outlineOffset: "-1px" },
  ".cm-gutters": { color: "var(--quiet)", backgroundColor: "var(--raised)", border: "0" },
  ".cm-activeLine, .cm-activeLineGutter": { backgroundColor: "color-mix(in srgb, var(--raised) 60%, transparent)" },
  "&.cm-focused > .cm-scroller > .cm-selectionLayer .cm-selectionBackground, .cm-selectionBackground": { backgroundColor: "var(--underline)" },
  ".cm-tooltip": { color: "var(--ink)", backgroundColor: "var(--paper)", border: "1px solid var(--quiet)", borderRadius: "0.35rem", maxWidth: "min(36rem, 90vw)" },
  ".cm-about": { padding: "0.4rem 0.6rem", whiteSpace: "pre-line" },
  ".cm-diagnostic": { padding: "0.4rem 0.6rem", borderLeftWidth: "0.4rem" },
  ".cm-diagnosticAction": { color: "var(--on-accent)", backgroundColor: "var(--accent)", minHeight: "2rem", padding: "0.2rem 0.6rem" },
  ".cm-diagnostic-error": { borderLeftColor: "var(--error)" },
  ".cm-diagnostic-warning": { borderLeftColor: "var(--warning)" },
  ".cm-diagnostic-info": { borderLeftColor: "var(--information)" },
  ".cm-diagnostic-hint": { borderLeftColor: "var(--hint)" },
  ".cm-lintRange": { backgroundImage: "none !important", textUnderlineOffset: "0.25em" },
  ".cm-lintRange-error": { textDecoration: "underline double 2px var(--error)" },
  ".cm-lintRange-warning": { textDecoration: "underline wavy 1.5px var(--warning)" },
  ".cm-lintRange-info": { textDecoration: "underline dotted 2px var(--information)" },
  ".cm-lintRange-hint": { textDecoration: "underline dashed 1px var(--hint)" },
  ".cm-lint-marker": { content: "normal !important", width: "0.8em", height: "0.8em", marginTop: "0.4em" },
  ".cm-lint-marker-error": { clipPath: "polygon(50% 0, 100% 50%, 50% 100%, 0 50%)", backgroundColor: "var(--error)" },
  ".cm-lint-marker-warning": { clipPath: "polygon(50% 0, 100% 100%, 0 100%)", backgroundColor: "var(--warning)" },
  ".cm-lint-marker-info": { border: "0.18em solid var(--information)", borderRadius: "50%" },
  ".cm-lint-marker-hint": { border: "0.25em solid transparent", borderRadius: "50%", backgroundColor: "var(--hint)", backgroundClip: "padding-box" },
  ".cm-panels": { color: "var(--ink)", backgroundColor: "var(--raised)" },
});

/** The editor of one piece. */
export class Editor {
  readonly view: EditorView;

  constructor(
    parent: HTMLElement,
    text: string,
    notation: Notation,
    label: string,
    private readonly owner: Owner,
  ) {
    const nonce = document.querySelector<HTMLMetaElement>("meta[name=nonce]")?.content ?? "";
    const extensions = [
      EditorView.cspNonce.of(nonce),
      lineNumbers(),
      lintGutter(),
      linter(null),
      history(),
      drawSelection(matchMedia("(prefers-reduced-motion: reduce)").matches ? { cursorBlinkRate: 0 } : {}),
      highlightActiveLine(),
      highlightActiveLineGutter(),
      highlightSelectionMatches(),
      colours(notation),
      theme,
      autocompletion({ override: [(context) => this.complete(context)] }),
      hoverTooltip(async (_, at) => {
        const words = await owner.about(at);
        return words === undefined ? null : { pos: at, above: true, create: () => ({ dom: element("div", { class: "cm-about" }, words) }) };
      }),
      Prec.high(keymap.of([{ key: "Mod-.", run: () => (owner.act(), true) }])),
      // In Humdrum a tab stands between the columns. Escape and then Tab leads on, as in all editors of this kind.
      notation === "kern" ? keymap.of([{ key: "Tab", run: insertTab }]) : EditorView.lineWrapping,
      keymap.of([...completionKeymap, ...lintKeymap, ...searchKeymap, ...historyKeymap, ...defaultKeymap]),
      EditorView.contentAttributes.of({ "aria-label": label, tabindex: "0", autocapitalize: "off", autocorrect: "off", spellcheck: "false" }),
      EditorView.updateListener.of(({ docChanged, selectionSet, changes, startState, state }) => {
        if (docChanged) {
          owner.changed(changes, startState.doc, state.doc);
        }
        if (docChanged || selectionSet) {
          owner.moved();
        }
      }),
    ];
    this.view = new EditorView({ state: EditorState.create({ doc: text, extensions }), parent });
  }

  get text(): Text {
    return this.view.state.doc;
  }

  /** Where the cursor stands. */
  get cursor(): number {
    return this.view.state.selection.main.head;
  }

  /** Underlines what is found. */
  underline(diagnostics: readonly Diagnostic[]): void {
    const { doc } = this.view.state;
    const underlined = diagnostics.map((one): Underlined => {
      const severity = severityOf(one);
      return {
        from: offset(doc, one.range.start),
        to: offset(doc, one.range.end),
        severity: CALLED[severity],
        message: `${severity}: ${one.message}`,
        actions: [{ name: "What can be done", apply: (view, from) => (view.dispatch({ selection: { anchor: from } }), this.owner.act()) }],
      };
    });
    this.view.dispatch(setDiagnostics(this.view.state, underlined));
  }

  /** Selects a place, and brings it into view. */
  select(from: number, to: number, focus: boolean): void {
    this.view.dispatch({ selection: { anchor: to, head: from }, effects: EditorView.scrollIntoView(from, { y: "center" }), userEvent: "select" });
    if (focus) {
      this.view.focus();
    }
  }

  /** Makes edits in one step, which can be undone. */
  edit(edits: readonly TextEdit[]): void {
    const changes = this.view.state.changes(changesOf(this.text, edits));
    let first: number | undefined;
    changes.iterChangedRanges((_, __, from) => (first ??= from));
    this.view.dispatch({ changes, scrollIntoView: true, userEvent: "input.fix", ...(first === undefined ? {} : { selection: { anchor: first } }) });
  }

  /** Puts another text in the place of this one, which can be undone. */
  replace(text: string): void {
    this.view.dispatch({ changes: { from: 0, to: this.text.length, insert: text }, userEvent: "input.replace" });
  }

  destroy(): void {
    closeCompletion(this.view);
    this.view.destroy();
  }

  private async complete(context: CompletionContext): Promise<CompletionResult | null> {
    const typed = context.explicit ? undefined : context.state.sliceDoc(context.pos - 1, context.pos);
    const items = await this.owner.items(context.pos, typed);
    if (items === undefined || items.length === 0 || context.aborted) {
      return null;
    }
    const { doc } = context.state;
    const word = context.matchBefore(/[\w-]+/)?.from ?? context.pos;
    const options = items.map(({ label, detail, documentation, insertText, textEdit }, at) => ({
      label,
      // In the server's order.
      boost: Math.max(-99, -at),
      apply: textEdit?.newText ?? insertText ?? label,
      ...(detail === undefined ? {} : { detail }),
      ...(documentation === undefined ? {} : { info: typeof documentation === "string" ? documentation : documentation.value }),
      from: textEdit === undefined ? word : offset(doc, textEdit.range.start),
    }));
    return { from: Math.min(...options.map(({ from }) => from)), options, validFor: /^[\w-]*$/ };
  }
}
