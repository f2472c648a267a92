// Colours for the three notations: enough to tell music from words, and no grammar.

import { HighlightStyle, StreamLanguage, type StreamParser, type StringStream, syntaxHighlighting } from "@codemirror/language";
import type { Extension } from "@codemirror/state";
import { tags } from "@lezer/highlight";
import type { Notation } from "./contract";

/** The first of these patterns that stands here, as a tag. */
function first(stream: StringStream, patterns: readonly (readonly [RegExp, string | null])[]): string | null {
  for (const [pattern, tag] of patterns) {
    if (stream.match(pattern)) {
      return tag;
    }
  }
  stream.next();
  return null;
}

const abc: StreamParser<null> = {
  name: "abc",
  languageData: { commentTokens: { line: "%" } },
  token: (stream) =>
    stream.sol() && stream.match(/^(?:[A-Za-z+]:)/)
      ? "keyword"
      : first(stream, [
          [/^%.*/, "comment"],
          [/^"[^"\n]*"?/, "string"],
          [/^!(?:[^!\n]*)!/, "annotation"],
          [/^\[[A-Za-z]:[^\]\n]*\]?/, "keyword"],
          [/^(?:\|\]|\[\||:?\|+:?|::)/, "punctuation"],
          [/^\s+/, null],
        ]),
};

const kern: StreamParser<null> = {
  name: "kern",
  languageData: { commentTokens: { line: "!!" } },
  token: (stream) =>
    first(stream, [
      [/^!{1,3}.*/, "comment"],
      [/^\*[^\t\n]*/, "keyword"],
      [/^=[^\t\n]*/, "punctuation"],
      [/^[^\t\n]+/, null],
      [/^\t+/, null],
    ]),
};

const musicxml: StreamParser<{ comment: boolean; tag: boolean }> = {
  name: "musicxml",
  startState: () => ({ comment: false, tag: false }),
  token(stream, state) {
    if (state.comment || stream.match("<!--")) {
      state.comment = !stream.skipTo("-->");
      if (state.comment) {
        stream.skipToEnd();
      } else {
        stream.match("-->");
      }
      return "comment";
    }
    if (state.tag) {
      state.tag = !stream.match(/^[/?]?>/);
      return state.tag
        ? first(stream, [
            [/^\s+/, null],
            [/^"[^"\n]*"?/, "string"],
            [/^[^\s"/?>]+/, "annotation"],
          ])
        : "keyword";
    }
    if (stream.match(/^<[/?!]?[\w:-]+/)) {
      state.tag = true;
      return "keyword";
    }
    return first(stream, [[/^[^<]+/, null]]);
  },
};

const style = HighlightStyle.define([
  { tag: tags.comment, color: "var(--quiet)", fontStyle: "italic" },
  { tag: tags.keyword, color: "var(--accent)" },
  { tag: tags.string, color: "var(--brass)" },
  { tag: tags.annotation, color: "var(--new)" },
  { tag: tags.punctuation, color: "var(--quiet)" },
]);

/** Colours for a notation. */
export function colours(notation: Notation): Extension {
  const languages = { abc: () => StreamLanguage.define(abc), kern: () => StreamLanguage.define(kern), musicxml: () => StreamLanguage.define(musicxml) };
  return [languages[notation](), syntaxHighlighting(style)];
}
