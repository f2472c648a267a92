// Messages to and from the server over a WebSocket, which is opened again when it is lost.

/** The first and the longest wait before it is tried again, in milliseconds. */
const AGAIN = [1000, 30_000] as const;
/** After how long a connection counts as one that holds, in milliseconds. */
const HOLDS = 10_000;

/** Why nothing is heard, by the code the program closes with. */
const WHY = new Map([
  [1008, "This desk has asked too much at once; it is tried again soon."],
  [1013, "There are too many desks now; it is tried again soon."],
]);

interface Message {
  readonly id?: number | string;
  readonly method?: string;
  readonly params?: unknown;
  readonly result?: unknown;
  readonly error?: { readonly code: number; readonly message: string };
}

/** Who is told. */
interface Owner {
  /** It is open, and nothing is known of this page there. */
  opened(): void;
  told(method: string, params: unknown): void;
  closed(why: string): void;
}

/** An answer that is none. */
export class Refused extends Error {
  constructor(
    readonly code: number,
    message: string,
  ) {
    super(message);
  }
}

/** What is asked when nobody is there. */
export const LOST = -1;

/** The connection, for as long as a piece is open. */
export class Connection {
  private socket: WebSocket | undefined;
  private next = 1;
  private readonly waiting = new Map<number, { done(result: unknown): void; failed(why: Error): void }>();
  private wait: number = AGAIN[0];
  private timer: ReturnType<typeof setTimeout> | undefined;
  private ended = false;

  constructor(
    private readonly address: string,
    private readonly owner: Owner,
  ) {
    window.addEventListener("online", this.open);
    this.open();
  }

  /** Tells the server something. */
  tell(method: string, params: unknown): void {
    this.send({ method, params });
  }

  /** Asks the server; fails when it refuses, or the connection is lost. */
  ask<T>(method: string, params: unknown, signal?: AbortSignal): Promise<T> {
    const id = this.next++;
    return new Promise<T>((done, failed) => {
      if (this.socket?.readyState !== WebSocket.OPEN) {
        failed(new Refused(LOST, "The connection is lost."));
        return;
      }
      this.waiting.set(id, { done: (result) => done(result as T), failed });
      signal?.addEventListener("abort", () => {
        if (this.waiting.delete(id)) {
          this.tell("$/cancelRequest", { id });
          failed(new Refused(LOST, "This is no longer asked."));
        }
      });
      this.send({ id, method, params });
    });
  }

  /** Ends it. */
  close(): void {
    this.ended = true;
    clearTimeout(this.timer);
    window.removeEventListener("online", this.open);
    this.socket?.close();
  }

  /** Opens it, unless it is. */
  readonly open = (): void => {
    if (this.ended || (this.socket !== undefined && this.socket.readyState <= WebSocket.OPEN)) {
      return;
    }
    clearTimeout(this.timer);
    const socket = new WebSocket(this.address);
    this.socket = socket;
    let since = Number.POSITIVE_INFINITY;
    socket.addEventListener("open", () => {
      since = Date.now();
      this.owner.opened();
    });
    socket.addEventListener("message", ({ data }) => this.take(data));
    socket.addEventListener("close", ({ code }) => {
      if (this.socket !== socket || this.ended) {
        return;
      }
      this.socket = undefined;
      for (const { failed } of this.waiting.values()) {
        failed(new Refused(LOST, "The connection is lost."));
      }
      this.waiting.clear();
      this.wait = Date.now() - since > HOLDS ? AGAIN[0] : Math.min(this.wait * 2, AGAIN[1]);
      this.timer = setTimeout(this.open, this.wait);
      this.owner.closed(WHY.get(code) ?? "The connection is lost; it is tried again.");
    });
  };

  private send(message: Message): void {
    if (this.socket?.readyState === WebSocket.OPEN) {
      this.socket.send(JSON.stringify({ jsonrpc: "2.0", ...message }));
    }
  }

  private take(data: unknown): void {
    if (typeof data !== "string") {
      return;
    }
    const { id, method, params, result, error } = JSON.parse(data) as Message;
    if (method !== undefined) {
      if (id === undefined) {
        this.owner.told(method, params);
      } else {
        this.socket?.send(JSON.stringify({ jsonrpc: "2.0", id, error: { code: -32601, message: "A desk does not do this." } }));
      }
      return;
    }
    const asked = typeof id === "number" ? this.waiting.get(id) : undefined;
    this.waiting.delete(id as number);
    if (error !== undefined) {
      asked?.failed(new Refused(error.code, error.message));
    } else {
      asked?.done(result);
    }
  }
}
