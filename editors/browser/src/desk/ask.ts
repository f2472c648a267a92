// Asking the program. Whatever comes of it is a value; nothing is thrown.

import type { Lesson, Notation, Piece, State, Text } from "./contract";

/** Why something was not done: `gone` when nobody answered, `left` when the student has to enter again. */
export type Failure = { readonly why: "gone" | "left" | "refused"; readonly words: string };

/** What came of asking. */
export type Outcome<T> = { readonly done: T } | { readonly failed: Failure };

/** What came of saving. */
export type Saved = Outcome<{ readonly etag: string }> | { readonly other: Text };

const GONE: Failure = { why: "gone", words: "The connection is lost." };

const path = (id: string) => `/desk/piece/${encodeURIComponent(id)}`;

async function send(method: string, to: string, type?: string, body?: string, more: Record<string, string> = {}, keepalive = false): Promise<Response | undefined> {
  const headers: Record<string, string> = { "X-Bellhand": "desk", ...(type === undefined ? {} : { "Content-Type": type }), ...more };
  try {
    return await fetch(to, { method, headers, cache: "no-store", keepalive, ...(body === undefined ? {} : { body }) });
  } catch {
    return undefined;
  }
}

async function failure(answer: Response | undefined): Promise<Failure> {
  if (answer === undefined) {
    return GONE;
  }
  let words = `The program answered with ${answer.status} ${answer.statusText}.`;
  try {
    const { problem } = (await answer.json()) as { problem?: unknown };
    words = typeof problem === "string" ? problem : words;
  } catch {
    // Then the status has to do.
  }
  return { why: answer.status === 401 ? "left" : "refused", words };
}

async function read<T>(answer: Response | undefined, of: (answer: Response) => Promise<T>): Promise<Outcome<T>> {
  if (answer?.ok) {
    try {
      return { done: await of(answer) };
    } catch {
      return { failed: GONE };
    }
  }
  return { failed: await failure(answer) };
}

const json = <T>(answer: Response) => answer.json() as Promise<T>;
const post = (to: string, body: unknown) => send("POST", to, "application/json", JSON.stringify(body));

/** Enters by the class's code; with the desk's word, when the student was there before. */
export const enter = async (code: string, name: string, word: string) => read(await post("/desk/enter", { code, name, word }), json<{ name: string; word?: string }>);

/** Leaves. */
export const leave = async () => read(await post("/desk/leave", {}), async () => undefined);

/** Who has entered, with pieces and lessons. */
export const state = async () => read(await send("GET", "/desk/state"), json<State>);

/** Begins a piece: an empty one, or from a lesson. */
export const begin = async (from: { notation: Notation; title: string } | { lesson: Lesson["id"] }) => read(await post("/desk/piece", from), json<Piece>);

/** A piece's text. */
export const open = async (id: string) => read(await send("GET", path(id)), async (answer): Promise<Text> => ({ text: await answer.text(), etag: answer.headers.get("ETag") ?? "" }));

/** Saves a text over the writing it was made from; another writing is given back and left as it is. */
export async function save(id: string, { text, etag }: Text, leaving = false): Promise<Saved> {
  const answer = await send("PUT", path(id), "text/plain; charset=utf-8", text, { "If-Match": etag }, leaving);
  if (answer?.status === 412) {
    try {
      return { other: await json<Text>(answer) };
    } catch {
      return { failed: GONE };
    }
  }
  return read(answer, async ({ headers }) => ({ etag: headers.get("ETag") ?? "" }));
}
