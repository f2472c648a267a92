// The way from all voices to the loudspeaker: the volume, and a limit that nothing passes.

/** How loud it is at first, of 1. */
export const QUIET = 0.4;
/** How far what is heard swings at most, of 1 for what a loudspeaker can do. */
export const LIMIT = 0.6;
/** How fast the volume follows the hand, in seconds. */
const FOLLOWS = 0.03;

/** What voices are connected to. */
export class Output {
  readonly input: AudioNode;
  private readonly volume: GainNode;

  constructor(
    private readonly context: BaseAudioContext,
    volume: number,
  ) {
    this.volume = new GainNode(context, { gain: volume ** 2 });
    // As it is where it is soft, and bent before it comes to the limit.
    const curve = Float32Array.from({ length: 2049 }, (_, at) => LIMIT * Math.tanh((at - 1024) / 1024 / LIMIT));
    const limit = new WaveShaperNode(context, { curve, oversample: "none" });
    this.volume.connect(limit).connect(context.destination);
    this.input = this.volume;
  }

  /** Sets the volume, from 0 to 1. */
  set(volume: number): void {
    this.volume.gain.setTargetAtTime(volume ** 2, this.context.currentTime, FOLLOWS);
  }
}
