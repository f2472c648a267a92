// One sound, made of nodes of Web Audio that begin and end by the audio's own clock.

import { type Sound, starts } from "./heard";
import { type Played, edge, level, partials } from "./tone";

/** In seconds: how long a tone takes to stand, attacked and slurred, and to fade. */
const ATTACK = 0.05;
const SLUR = 0.025;
const RELEASE = 0.04;
/** What of a note the tongue takes before the next one, at most as seconds and as a share. */
const TONGUE = 0.05;
const SHARE = 0.15;
/** How fast the lip falls into the next partial, in seconds. */
const STEP = 0.004;
/** How often a second a fluttered tongue beats. */
const FLUTTER = 24;
/** In hertz; what does not change passes whole. */
const OPEN = 18_000;
/** What passes of a tone that grows, as a share of where its partials are strong. */
const BRIGHT = 1.6;
/** What is told apart of loudness in a tone's shape, from silence to the loudest. */
const STEPS = 22;

const waves = new WeakMap<BaseAudioContext, Map<string, PeriodicWave>>();

/** The shape of a tone, made once for all notes that are alike. */
function wave(context: BaseAudioContext, played: Played): PeriodicWave {
  const known = waves.get(context) ?? new Map<string, PeriodicWave>();
  waves.set(context, known);
  const loudness = Math.ceil(played.loudness * STEPS) / STEPS;
  const key = [played.technique, played.tone, loudness, Math.round(12 * Math.log2(played.hertz))].join(" ");
  let made = known.get(key);
  if (made === undefined) {
    const strong = partials({ ...played, loudness });
    const [real, imag] = [new Float32Array(strong.length + 1), new Float32Array(strong.length + 1)];
    strong.forEach((one, at) => {
      // Partials that all rise at once would make peaks.
      const phase = (-Math.PI * at * (at + 1)) / strong.length;
      real[at + 1] = one * Math.cos(phase);
      imag[at + 1] = one * Math.sin(phase);
    });
    made = context.createPeriodicWave(real, imag, { disableNormalization: true });
    known.set(key, made);
  }
  return made;
}

/** A sound that was handed to the audio. */
export interface Voice {
  /** Takes it back, begun or not. */
  stop(): void;
}

/**
 * Hands a sound to the audio, to begin at a time of its clock. `joined` says that the next is slurred to it, `late` how
 * much of it has passed already.
 */
export function voice(context: BaseAudioContext, to: AudioNode, sound: Sound, at: number, joined: boolean): Voice {
  const begin = starts(sound);
  const when = (time: number) => at + Math.max(0, time - begin);
  const { technique, tone, hertz, loudness } = sound;
  const most = Math.max(0, ...loudness.map(([, one]) => one));
  const oscillator = new OscillatorNode(context, { frequency: hertz, periodicWave: wave(context, { hertz, loudness: most, technique, tone }) });
  for (const [time, pitch] of sound.steps ?? []) {
    oscillator.frequency.setTargetAtTime(pitch, when(time), STEP);
  }

  // The marks: how loud, and with it how bright.
  const bright = new BiquadFilterNode(context, { type: "lowpass", Q: 0.5, frequency: OPEN });
  const marked = new GainNode(context, { gain: 0 });
  loudness.forEach(([time, one], place) => {
    marked.gain[place === 0 ? "setValueAtTime" : "linearRampToValueAtTime"](level(one, technique), when(time));
    if (loudness.length > 1) {
      const passes = Math.max(hertz, BRIGHT * edge({ loudness: one, technique, tone }));
      bright.frequency[place === 0 ? "setValueAtTime" : "exponentialRampToValueAtTime"](passes, when(time));
    }
  });

  // The tongue and the breath.
  const breath = new GainNode(context, { gain: 0 });
  const length = Math.max(0.01, sound.ends - begin);
  const end = at + length - (joined ? 0 : Math.min(TONGUE, SHARE * length));
  const stands = Math.min(sound.slurred === true ? SLUR : ATTACK, length / 2);
  breath.gain.setValueAtTime(0, at);
  breath.gain.linearRampToValueAtTime(1, at + stands);
  breath.gain.setValueAtTime(1, Math.max(at + stands, end - RELEASE / 2));
  const silent = Math.max(at + stands, end - RELEASE / 2) + RELEASE;
  breath.gain.linearRampToValueAtTime(0, silent);

  const nodes: AudioNode[] = [oscillator, bright, marked, breath];
  oscillator.connect(bright).connect(marked).connect(breath).connect(to);
  const sources: OscillatorNode[] = [oscillator];
  if (tone === "flutter") {
    const tongue = new OscillatorNode(context, { frequency: FLUTTER });
    const deep = new GainNode(context, { gain: level(most, technique) * 0.5 });
    tongue.connect(deep).connect(marked.gain);
    sources.push(tongue);
    nodes.push(tongue, deep);
  }
  for (const source of sources) {
    source.start(at);
    source.stop(silent + 0.01);
  }
  oscillator.onended = () => {
    for (const node of nodes) {
      node.disconnect();
    }
  };
  return {
    stop() {
      for (const source of sources) {
        source.stop();
      }
    },
  };
}

/** For each sound, whether a later one is slurred to it. */
export function joins(sounds: readonly Sound[]): boolean[] {
  return sounds.map((sound, at) => {
    for (const next of sounds.slice(at + 1, at + 8)) {
      if (next.slurred === true && Math.abs(starts(next) - sound.ends) < 0.005) {
        return true;
      }
    }
    return false;
  });
}
