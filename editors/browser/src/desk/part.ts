// The part at the cursor as a picture, and what stands at the cursor in words.

import { noteAt } from "../../../vscode/src/panel/places";
import { Controls } from "../../../vscode/src/panel/webview/sound/controls";
import type { Heard } from "../../../vscode/src/panel/webview/sound/heard";
import { button, element, write } from "../shared/dom";
import { Picture } from "../shared/picture";
import type { Editor } from "./editor";
import type { Hover, Whole as Drawn, Pitch } from "./protocol";
import { type Talk, offset, position } from "./talk";

/** How long a move waits for the next one before anything is asked, in milliseconds. */
const PAUSE = 200;
/** How much the picture is enlarged where type is of the usual size. */
const ZOOM = 1.25;
/** What is said where nothing stands at the cursor. */
const NOTHING = "no note, mark or key signature";
/** The usual size of type, in pixels. */
const TYPE = 16;

/** The picture and the words. */
export class Part {
  private readonly words = element("p", { class: "quiet" }, "Reading…");
  private readonly sounding = button("Sounding pitch", () => this.turn(), { "aria-pressed": "false", title: "Shows the pitches that sound instead of those the player reads" });
  private readonly first = element("span", {}, NOTHING);
  private readonly rest = element("p", { class: "here" });
  // Folded, it is always as high, so that what stands below keeps its place when the cursor moves.
  private readonly about = element("details", {}, element("summary", {}, element("strong", {}, "At the cursor: "), this.first), this.rest);
  private readonly picture = new Picture((id, enter) => this.go(id, enter));
  private readonly sound = new Controls({
    ask: () => this.listen(),
    current: () => this.picture.host.shadowRoot?.querySelector(".note.current")?.id ?? null,
    root: () => this.picture.host.shadowRoot ?? document,
  });
  readonly section = element(
    "section",
    { "aria-labelledby": "part-heading" },
    element("div", { class: "above" }, element("h2", { id: "part-heading" }, "As the player meets it"), this.sound.element, this.sounding),
    this.words,
    this.picture.host,
    this.about,
  );
  private drawn: { readonly picture: Drawn; readonly spoken: number | undefined } | undefined;
  /** Which text's part is heard. */
  private heard: { readonly part: string; readonly spoken: number | undefined } | undefined;
  private asking: AbortController | undefined;
  private timer: ReturnType<typeof setTimeout> | undefined;
  private pitch: Pitch = "written";
  private width = 0;
  private readonly watch = new ResizeObserver(() => {
    const width = this.room();
    if (width > 0 && width !== this.width) {
      this.width = width;
      this.later();
    }
  });

  constructor(
    private readonly talk: Talk,
    private readonly editor: Editor,
  ) {
    this.watch.observe(this.picture.host);
  }

  /** The cursor or the text is another. */
  moved(): void {
    if (this.drawn !== undefined && this.drawn.spoken === this.talk.spoken) {
      const note = noteAt(this.drawn.picture.places, position(this.editor.text, this.editor.cursor));
      if (note !== undefined) {
        this.picture.mark(note.id);
      }
    }
    this.later();
  }

  /** Asks for the picture anew. */
  later(): void {
    clearTimeout(this.timer);
    this.timer = setTimeout(() => void this.ask(), PAUSE);
  }

  close(): void {
    clearTimeout(this.timer);
    this.asking?.abort();
    this.watch.disconnect();
    this.sound.close();
  }

  private room(): number {
    const { host } = this.picture;
    return Math.floor((host.clientWidth * TYPE) / Number.parseFloat(getComputedStyle(host).fontSize) / ZOOM);
  }

  private turn(): void {
    this.pitch = this.pitch === "written" ? "sounding" : "written";
    this.sounding.setAttribute("aria-pressed", String(this.pitch === "sounding"));
    this.drawn = undefined;
    this.later();
  }

  private async ask(): Promise<void> {
    this.asking?.abort();
    const asking = new AbortController();
    this.asking = asking;
    const { cursor, text } = this.editor;
    const at = position(text, cursor);
    const hover = this.talk.ask<Hover | null>("textDocument/hover", { position: at }, asking.signal);
    const { spoken } = this.talk;
    const note = this.drawn !== undefined && this.drawn.spoken === spoken ? noteAt(this.drawn.picture.places, at) : undefined;
    if (note === undefined) {
      const params = { position: at, pitch: this.pitch, ...(this.width > 0 ? { width: this.width } : {}) };
      const picture = await this.talk.ask<Drawn | null>("bellhand/picture", params, asking.signal);
      if (asking.signal.aborted || picture === undefined) {
        return;
      }
      this.show(picture, spoken);
    }
    const words = await hover;
    if (!asking.signal.aborted && words !== undefined) {
      const [first = "", ...rest] = (words?.contents.value ?? NOTHING).split("\n");
      write(this.first, first);
      write(this.rest, rest.join("\n"));
    }
  }

  /** Asks for what is to be heard of the part at the cursor. */
  private async listen(): Promise<Heard | string | undefined> {
    const answer = this.talk.ask<Heard | null>("bellhand/sound", { position: position(this.editor.text, this.editor.cursor) });
    const { spoken } = this.talk;
    const heard = await answer;
    this.heard = heard ? { part: heard.part, spoken } : undefined;
    return heard === null ? "There is no horn part here yet." : heard;
  }

  private show(picture: Drawn | null, spoken: number | undefined): void {
    if (this.heard !== undefined && (picture?.part !== this.heard.part || spoken !== this.heard.spoken)) {
      this.sound.stop();
    }
    this.drawn = picture === null ? undefined : { picture, spoken };
    const shown = picture !== null && this.picture.show(picture.svg, picture.places);
    this.picture.host.hidden = !shown;
    this.words.hidden = shown;
    if (shown) {
      this.picture.mark(picture.current);
    } else {
      this.words.textContent = picture === null ? 'There is no horn part here yet. A part is a horn\'s when its name says so, as "Horn in F" does.' : "The picture cannot be shown.";
    }
  }

  private go(id: string, enter: boolean): void {
    const place = this.drawn?.picture.places.find((one) => one.id === id);
    if (place === undefined || this.drawn?.spoken !== this.talk.spoken) {
      return;
    }
    const { text } = this.editor;
    this.editor.select(offset(text, place.range.start), offset(text, place.range.end), enter);
  }
}
