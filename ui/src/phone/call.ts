/** One tone of a pass call, gliding when its frequencies differ. */
export interface Tone {
  readonly at_s: number;
  readonly seconds: number;
  readonly from_hz: number;
  readonly to_hz: number;
}

const sweepS = 0.24;
const toneS = 0.064;
const places = 15;
const edgeS = 0.006;

/** The program's shift of the letters, digits of pi. */
const shift = [0x3, 0x2, 0x4, 0x3, 0xf, 0x6, 0xa, 0x8, 0x8, 0x8, 0x5, 0xa, 0x3, 0x0, 0x8];

/** Multiplies in GF(16) with the polynomial x⁴ + x + 1. */
function times(a: number, b: number): number {
  let p = 0;
  for (; b > 0; b >>= 1) {
    if (b & 1) p ^= a;
    a <<= 1;
    if (a & 16) a ^= 0b10011;
  }
  return p;
}

/** The tones that call a number of 1 to 999, as the program reads them; a test compares the two. */
export function call(number: number): Tone[] {
  const tones: Tone[] = [{ at_s: 0, seconds: sweepS, from_hz: 1200, to_hz: 4800 }];
  const [m0, m1, m2] = [number & 15, (number >> 4) & 15, (number >> 8) & 15];
  let power = 1;
  for (let i = 0; i < places; i++) {
    const letter = m0 ^ times(m1, power) ^ times(m2, times(power, power)) ^ (shift[i] ?? 0);
    const hz = 1300 + 100 * (2 * letter + (i % 2));
    tones.push({ at_s: sweepS + i * toneS, seconds: toneS, from_hz: hz, to_hz: hz });
    power = times(power, 2);
  }
  return tones;
}

let sound: AudioContext | undefined;

/** Plays a call. It has to come from a tap, or the browser keeps it silent. */
export function play(number: number): void {
  sound ??= new AudioContext();
  void sound.resume();
  const from = sound.currentTime + 0.05;
  for (const t of call(number)) {
    const tone = new OscillatorNode(sound, { frequency: t.from_hz });
    const level = new GainNode(sound, { gain: 0 });
    const [begin, end] = [from + t.at_s, from + t.at_s + t.seconds];
    tone.frequency.setValueAtTime(t.from_hz, begin);
    tone.frequency.linearRampToValueAtTime(t.to_hz, end);
    level.gain.setValueAtTime(0, begin);
    level.gain.linearRampToValueAtTime(1, begin + edgeS);
    level.gain.setValueAtTime(1, end - edgeS);
    level.gain.linearRampToValueAtTime(0, end);
    tone.connect(level).connect(sound.destination);
    tone.start(begin);
    tone.stop(end);
  }
}
