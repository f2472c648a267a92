// Playing a part's sounds: handed to the audio a little ahead, by its own clock, so that the longest part begins at once.

import { type Sound, starts } from "./heard";
import { Output, QUIET } from "./output";
import { type Voice, joins, voice } from "./voice";

/** In seconds: how far ahead sounds are handed over, more than a page in the background sleeps; and how often it is seen to. */
const AHEAD = 1.5;
const OFTEN = 0.2;
/** In seconds: before the first sound, after the last, and how fast it is silent when it is stopped. */
const BEFORE = 0.12;
const AFTER = 0.3;
const FADE = 0.012;

/** Who is told. */
export interface Listener {
  /** These notes sound now. */
  lit(ids: ReadonlySet<string>): void;
  /** It has come to its end, or was stopped. */
  ended(): void;
}

/** A drawn note while it sounds. */
interface Light {
  readonly id: string;
  readonly from: number;
  readonly until: number;
}

/** What is being played. */
class Playing {
  private readonly bus: GainNode;
  private readonly voices = new Map<Voice, number>();
  private readonly joined: boolean[];
  private readonly lights: Light[];
  private readonly begun: number;
  private readonly skipped: number;
  private readonly last: number;
  private readonly timer: ReturnType<typeof setInterval>;
  private frame = 0;
  private nextLight = 0;
  private lit: Light[] = [];

  constructor(
    private readonly context: AudioContext,
    output: Output,
    private readonly sounds: readonly Sound[],
    private next: number,
    private readonly listener: Listener,
    private readonly over: () => void,
  ) {
    this.bus = new GainNode(context);
    this.bus.connect(output.input);
    this.joined = joins(sounds);
    const first = sounds[next];
    this.skipped = first === undefined ? 0 : starts(first);
    this.begun = context.currentTime + BEFORE;
    const rest = sounds.slice(next);
    this.last = rest.reduce((last, { ends }) => Math.max(last, ends), this.skipped);
    this.lights = rest.flatMap(({ notes, ends }) => notes.map(({ id, starts }, at) => ({ id, from: starts, until: notes[at + 1]?.starts ?? ends })));
    this.lights.sort((one, other) => one.from - other.from);
    this.hand();
    this.timer = setInterval(() => this.hand(), OFTEN * 1000);
    this.light();
  }

  /** Seconds of the part, at a time of the audio's clock. */
  private at(time: number): number {
    return time - this.begun + this.skipped;
  }

  /** Hands over what begins soon. */
  private hand(): void {
    const now = this.context.currentTime;
    for (const [voice, until] of this.voices) {
      if (until < now) {
        this.voices.delete(voice);
      }
    }
    for (let sound = this.sounds[this.next]; sound !== undefined && starts(sound) < this.at(now) + AHEAD; sound = this.sounds[this.next]) {
      const when = starts(sound) - this.skipped + this.begun;
      // A page that slept for longer goes on with what comes now.
      if (when >= now) {
        this.voices.set(voice(this.context, this.bus, sound, when, this.joined[this.next] ?? false), when + sound.ends - starts(sound) + 1);
      }
      this.next += 1;
    }
    if (this.at(now) > this.last + AFTER) {
      this.stop();
    }
  }

  /** Tells which notes are heard, as often as the page is shown. */
  private readonly light = () => {
    const now = this.at(this.context.currentTime - (this.context.outputLatency || 0));
    const before = this.lit.length;
    this.lit = this.lit.filter(({ until }) => until > now);
    let changed = this.lit.length !== before;
    for (let light = this.lights[this.nextLight]; light !== undefined && light.from <= now; light = this.lights[this.nextLight]) {
      if (light.until > now) {
        this.lit.push(light);
        changed = true;
      }
      this.nextLight += 1;
    }
    if (changed) {
      this.listener.lit(new Set(this.lit.map(({ id }) => id)));
    }
    this.frame = requestAnimationFrame(this.light);
  };

  stop(): void {
    clearInterval(this.timer);
    cancelAnimationFrame(this.frame);
    const { bus, voices } = this;
    bus.gain.setTargetAtTime(0, this.context.currentTime, FADE);
    setTimeout(() => {
      for (const voice of voices.keys()) {
        voice.stop();
      }
      bus.disconnect();
    }, FADE * 8000);
    this.over();
    this.listener.lit(new Set());
    this.listener.ended();
  }
}

/** The one player of a page. Nothing is made, and nothing sounds, before it is told to play. */
export class Player {
  private context: AudioContext | undefined;
  private output: Output | undefined;
  private playing: Playing | undefined;
  private volume = QUIET;
  private resting: ReturnType<typeof setTimeout> | undefined;

  /** Wakes the audio, which browsers allow while a key or button is pressed. Fails where there is none. */
  wake(): void {
    clearTimeout(this.resting);
    this.context ??= new AudioContext({ latencyHint: "balanced" });
    this.output ??= new Output(this.context, this.volume);
    void this.context.resume();
  }

  /** Plays from one of the sounds on, instead of what was played before. */
  play(sounds: readonly Sound[], from: number, listener: Listener): void {
    this.stop();
    this.wake();
    const { context, output } = this;
    if (context === undefined || output === undefined) {
      return;
    }
    this.playing = new Playing(context, output, sounds, from, listener, () => {
      this.playing = undefined;
      // Audio that is at rest costs nothing.
      this.resting = setTimeout(() => void context.suspend(), 1000);
    });
  }

  /** Stops, and tells who listened. */
  stop(): void {
    this.playing?.stop();
  }

  /** The volume, from 0 to 1. */
  get loud(): number {
    return this.volume;
  }

  set loud(volume: number) {
    this.volume = Math.min(1, Math.max(0, volume));
    this.output?.set(this.volume);
  }
}
