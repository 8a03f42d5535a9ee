import { media } from "../api/client";
import { type Span, type SongTime, song } from "../base/time";

// The ear catches a jump in the waveform as a click; a dip this short it does not hear.
const dipSeconds = 0.006;
const decodedHz = 48000;
// The flam ear begins this quietly, a share of full level.
const earBegins = 0.2;

interface Ear {
  readonly source: AudioBufferSourceNode;
  readonly gain: GainNode;
}

/**
 * The record, played from memory: the clock that everything else follows. A loop
 * goes round without a gap, and its time is known to the sample.
 */
export class RecordPlayer {
  #context: AudioContext | undefined;
  #buffer: AudioBuffer | undefined;
  #reading: Promise<AudioBuffer> | undefined;
  #source: AudioBufferSourceNode | undefined;
  #gain: GainNode | undefined;
  #pan: StereoPannerNode | undefined;
  #level: GainNode | undefined;
  #startedAt = 0; // context time at which #from sounded
  #from = 0;
  #loop: Span | undefined;
  #dipped = 0; // context time up to which dips are set
  #ear: Ear | undefined;
  #ears = new Map<string, Promise<AudioBuffer>>();
  #volume = 0.8;

  /** Reads the record into memory; again only when told that it changed. */
  read(): Promise<AudioBuffer> {
    this.#reading ??= this.#decode(media.record).then((b) => (this.#buffer = b));
    this.#reading.catch(() => (this.#reading = undefined));
    return this.#reading;
  }

  get playing(): boolean {
    return this.#source !== undefined;
  }

  get loop(): Span | undefined {
    return this.#loop;
  }

  set volume(v: number) {
    this.#volume = v;
    if (this.#level && this.#context) this.#level.gain.setTargetAtTime(v, this.#context.currentTime, 0.02);
  }

  /** Starts at a song time; with a loop it goes round for ever. */
  async start(at: SongTime, loop: Span | undefined): Promise<void> {
    const buffer = this.#buffer ?? (await this.read());
    const context = this.#open();
    if (context.state === "suspended") await context.resume();
    this.#hush();
    const source = context.createBufferSource();
    source.buffer = buffer;
    if (loop) {
      source.loop = true;
      source.loopStart = Math.max(0, loop.from);
      source.loopEnd = Math.min(buffer.duration, loop.to);
    }
    const gain = context.createGain();
    const when = context.currentTime + 0.03;
    gain.gain.setValueAtTime(0, when);
    gain.gain.linearRampToValueAtTime(1, when + dipSeconds);
    const pan = context.createStereoPanner();
    source.connect(gain).connect(pan).connect(this.#level ?? context.destination);
    const from = Math.min(Math.max(0, at), buffer.duration);
    source.start(when, from);
    source.onended = () => {
      if (this.#source === source) this.stop();
    };
    this.#source = source;
    this.#gain = gain;
    this.#pan = pan;
    this.#startedAt = when;
    this.#from = from;
    this.#loop = loop;
    this.#dipped = when;
  }

  stop(): void {
    this.#hush();
  }

  /** The song time that is heard now. */
  now(): SongTime {
    const context = this.#context;
    if (!context || !this.#source) return song(this.#from);
    const late = context.outputLatency || context.baseLatency || 0;
    return this.#songAt(context.currentTime - late);
  }

  /** Seconds from now until the loop begins anew; Infinity without one. */
  untilWrap(): number {
    return this.#loop ? this.#loop.to - this.now() : Infinity;
  }

  /** How often the loop has gone round. */
  laps(): number {
    const loop = this.#loop;
    if (!this.#context || !loop) return 0;
    const late = this.#context.outputLatency || this.#context.baseLatency || 0;
    const t = this.#context.currentTime - late - this.#startedAt + this.#from;
    return Math.max(0, Math.floor((t - loop.from) / (loop.to - loop.from)));
  }

  /** Sets the dips that hide the jumps of the loop; called in every frame. */
  tend(): void {
    const context = this.#context;
    const loop = this.#loop;
    if (!context || !loop || !this.#gain) return;
    const long = loop.to - loop.from;
    let next = this.#startedAt + (loop.to - this.#from);
    while (next < this.#dipped) next += long;
    while (next < context.currentTime + 1) {
      if (next > context.currentTime + dipSeconds) {
        const { gain } = this.#gain;
        gain.setValueAtTime(1, next - dipSeconds);
        gain.linearRampToValueAtTime(0, next);
        gain.linearRampToValueAtTime(1, next + dipSeconds);
      }
      this.#dipped = next + dipSeconds;
      next += long;
    }
  }

  /** Puts the record to the left and the pass's own sound, at its slip, to the right. */
  async listenTo(pass: string, slip: number): Promise<void> {
    const context = this.#open();
    let reading = this.#ears.get(pass);
    if (!reading) {
      if (this.#ears.size >= 3) this.#ears.delete(this.#ears.keys().next().value ?? "");
      reading = this.#decode(media.ear(pass));
      this.#ears.set(pass, reading);
      reading.catch(() => this.#ears.delete(pass));
    }
    const buffer = await reading;
    this.deafen();
    if (!this.#source || !this.#pan) return;
    const source = context.createBufferSource();
    source.buffer = buffer;
    const loop = this.#loop;
    if (loop) {
      source.loop = true;
      source.loopStart = Math.max(0, loop.from + slip);
      source.loopEnd = loop.to + slip;
    }
    const gain = context.createGain();
    const right = context.createStereoPanner();
    right.pan.value = 1;
    const when = context.currentTime + 0.05;
    gain.gain.setValueAtTime(0, when);
    gain.gain.linearRampToValueAtTime(earBegins, when + 0.3);
    gain.gain.linearRampToValueAtTime(1, when + 4);
    source.connect(gain).connect(right).connect(this.#level ?? context.destination);
    source.start(when, Math.max(0, this.#songAt(when) + slip));
    this.#pan.pan.setValueAtTime(-1, when);
    this.#ear = { source, gain };
  }

  /** Both ears hear the record again. */
  deafen(): void {
    this.#ear?.source.stop();
    this.#ear = undefined;
    if (this.#pan) this.#pan.pan.value = 0;
  }

  #songAt(contextTime: number): SongTime {
    const t = contextTime - this.#startedAt + this.#from;
    const loop = this.#loop;
    if (!loop || t < loop.to) return song(Math.max(t, Math.min(this.#from, t + 1)));
    const long = loop.to - loop.from;
    return song(loop.from + ((t - loop.from) % long));
  }

  #open(): AudioContext {
    if (!this.#context) {
      this.#context = new AudioContext({ latencyHint: "interactive" });
      this.#level = this.#context.createGain();
      this.#level.gain.value = this.#volume;
      this.#level.connect(this.#context.destination);
    }
    return this.#context;
  }

  async #decode(url: string): Promise<AudioBuffer> {
    const answer = await fetch(url);
    if (!answer.ok) throw new Error(`the sound cannot be read: ${answer.status}`);
    // Not the context that sounds: that one may begin only once somebody has touched the page.
    return new OfflineAudioContext(1, 1, decodedHz).decodeAudioData(await answer.arrayBuffer());
  }

  #hush(): void {
    this.deafen();
    const context = this.#context;
    const source = this.#source;
    if (context && source && this.#gain) {
      this.#from = this.now();
      source.onended = null;
      const t = context.currentTime;
      this.#gain.gain.cancelScheduledValues(t);
      this.#gain.gain.setValueAtTime(this.#gain.gain.value, t);
      this.#gain.gain.linearRampToValueAtTime(0, t + dipSeconds);
      source.stop(t + dipSeconds);
    }
    this.#source = undefined;
    this.#loop = undefined;
  }
}
