// Hearing from the program, and going on asking when the connection is lost.

import type { Change, Wall } from "./contract";

/** How long until a connection is tried again that the browser has given up, in milliseconds. */
const AGAIN = 3000;

interface Hearing {
  whole(wall: Wall): void;
  change(change: Change): void;
  /** The connection is lost, and why, if it is known. */
  lost(why: string | undefined): void;
}

/** Hears from the program for as long as the page is open. */
export function listen(to: Hearing): void {
  const source = new EventSource("/wall/events");
  source.addEventListener("wall", ({ data }: MessageEvent<string>) => to.whole(JSON.parse(data) as Wall));
  source.addEventListener("change", ({ data }: MessageEvent<string>) => to.change(JSON.parse(data) as Change));
  source.addEventListener("error", () => {
    if (source.readyState !== EventSource.CLOSED) {
      to.lost(undefined);
      return;
    }
    // The browser tries again by itself only where nobody answered.
    void refusal().then((why) => {
      to.lost(why);
      setTimeout(() => listen(to), AGAIN);
    });
  });
}

/** Why the program will not tell this page anything. */
async function refusal(): Promise<string | undefined> {
  const asking = new AbortController();
  try {
    const answer = await fetch("/wall/events", { signal: asking.signal });
    return answer.ok ? undefined : await problem(answer);
  } catch {
    return undefined;
  } finally {
    asking.abort();
  }
}

/** What the program says is the matter. */
export async function problem(answer: Response): Promise<string> {
  try {
    const { problem } = (await answer.json()) as { problem?: unknown };
    if (typeof problem === "string") {
      return problem;
    }
  } catch {
    // Then the status has to do.
  }
  return `The program answered with ${answer.status} ${answer.statusText}.`;
}
