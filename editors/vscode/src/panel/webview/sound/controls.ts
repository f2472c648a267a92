// Play, stop and volume, beside a picture.

import { type Heard, starts } from "./heard";
import { Lit } from "./lit";
import { Player } from "./player";

/** What a picture tells its controls. */
export interface Owner {
  /** What is to be heard; words where nothing is, `undefined` where the text has moved on. */
  ask(): Promise<Heard | string | undefined>;
  /** The name of the note to begin with. */
  current(): string | null;
  /** What the picture stands in. */
  root(): Document | ShadowRoot;
  /** A note sounds that is not drawn. */
  missing?(id: string): void;
}

const player = new Player();
/** All controls of the page: they have one volume. */
const all = new Set<Controls>();

const PLAY = "▶ Play";
const STOP = "■ Stop";

function made<K extends keyof HTMLElementTagNameMap>(name: K, attributes: Readonly<Record<string, string>>, ...children: readonly (Node | string)[]): HTMLElementTagNameMap[K] {
  const element = document.createElement(name);
  for (const [key, value] of Object.entries(attributes)) {
    element.setAttribute(key, value);
  }
  element.append(...children);
  return element;
}

/** The controls of one picture. */
export class Controls {
  private readonly button = made("button", { type: "button", class: "play", title: "Plays the part as it sounds, from the current note on. Escape stops it." }, PLAY);
  private readonly volume = made("input", { type: "range", min: "0", max: "100", step: "5", title: "It begins quiet. Turn it up slowly, above all with headphones." });
  private readonly said = made("span", { class: "said", role: "status" });
  /** What stands on the page. */
  readonly element = made("div", { class: "sound", role: "group", "aria-label": "Sound" }, this.button, made("label", {}, "Volume ", this.volume), this.said);
  private readonly lit: Lit;
  /** Counts what is asked for, so that an answer that comes late plays nothing. */
  private turn = 0;
  private playing = false;

  constructor(private readonly owner: Owner) {
    this.lit = new Lit(
      () => owner.root(),
      (id) => owner.missing?.(id),
    );
    this.volume.value = String(player.loud * 100);
    this.button.addEventListener("click", () => void this.press());
    this.volume.addEventListener("input", () => {
      player.loud = this.volume.valueAsNumber / 100;
      for (const other of all) {
        other.volume.value = this.volume.value;
      }
    });
    document.addEventListener("keydown", this.key, true);
    all.add(this);
  }

  /** Stops what is played; also for a text that is another now. */
  stop(): void {
    this.turn += 1;
    if (this.playing) {
      player.stop();
    } else {
      this.show(PLAY, "");
    }
  }

  close(): void {
    this.stop();
    document.removeEventListener("keydown", this.key, true);
    all.delete(this);
  }

  private show(words: string, said: string): void {
    this.button.textContent = words;
    this.said.textContent = said;
  }

  private async press(): Promise<void> {
    if (this.button.textContent === STOP) {
      this.stop();
      return;
    }
    this.turn += 1;
    const { turn } = this;
    try {
      // The press itself lets the audio begin; after the answer it is over.
      player.wake();
      this.show(STOP, "");
      const heard = await this.owner.ask();
      if (turn === this.turn) {
        this.play(heard);
      }
    } catch (error) {
      this.show(PLAY, `It cannot be played: ${error instanceof Error ? error.message : String(error)}`);
    }
  }

  private play(heard: Heard | string | undefined): void {
    if (typeof heard !== "object" || heard.sounds.length === 0) {
      this.show(PLAY, typeof heard === "string" ? heard : heard === undefined ? "The text has changed. Play it again." : "There is nothing to be heard.");
      return;
    }
    const { sounds } = heard;
    const current = this.owner.current();
    const chosen = sounds.find(({ notes }) => notes.some(({ id }) => id === current));
    const from = chosen === undefined ? 0 : sounds.findIndex((sound) => starts(sound) >= starts(chosen) - 0.001);
    player.play(sounds, from, {
      lit: (ids) => this.lit.show(ids),
      ended: () => {
        this.playing = false;
        this.show(PLAY, "");
      },
    });
    this.playing = true;
    const bar = sounds[from]?.bar ?? 1;
    this.show(STOP, bar === 0 ? "From the upbeat" : `From bar ${bar}`);
  }

  /** While it is played, Escape stops it anywhere, and Space where it does nothing else. */
  private readonly key = (event: KeyboardEvent) => {
    const { key } = event;
    // Within a shadow the page itself sees only its host.
    const [target] = event.composedPath();
    if (!this.playing || event.ctrlKey || event.altKey || event.metaKey) {
      return;
    }
    const free = !(target instanceof Element) || target.closest("input, textarea, select, button, summary, a, [contenteditable], [role=button]") === null;
    if (key === "Escape" || (key === " " && free)) {
      this.stop();
      event.preventDefault();
    }
  };
}
