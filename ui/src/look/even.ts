// A display with a power of 2.4 shows so much light for what is encoded.
const displayPower = 2.4;
const light = Float64Array.from({ length: 256 }, (_, code) => (code / 255) ** displayPower);

/** The mean light of painted pixels, four bytes each, 1 for white. */
export function meanLight(pixels: Uint8Array): number {
  let sum = 0;
  for (let i = 0; i + 3 < pixels.length; i += 4) {
    sum += 0.2126 * (light[pixels[i] ?? 0] ?? 0) + 0.7152 * (light[pixels[i + 1] ?? 0] ?? 0) + 0.0722 * (light[pixels[i + 2] ?? 0] ?? 0);
  }
  return sum / (pixels.length / 4);
}

export const stopsApart = (a: number, b: number): number => Math.abs(Math.log2(a / b));

/**
 * By what to multiply two encoded pictures so that they are equally bright: the
 * brighter one is dimmed, so that nothing clips.
 */
export function evenDims(a: number, b: number): readonly [number, number] {
  if (a <= 0 || b <= 0) return [1, 1];
  const factor = (Math.min(a, b) / Math.max(a, b)) ** (1 / displayPower);
  return a > b ? [factor, 1] : [1, factor];
}

/** How often chance alone, of `votes`, chooses one side as often as `chosen` or more. */
export function byChance(chosen: number, votes: number): number {
  let ways = 0;
  let choose = 1; // of `votes`, k
  for (let k = 0; k <= votes; k++) {
    if (k >= chosen) ways += choose;
    choose = (choose * (votes - k)) / (k + 1);
  }
  return ways / 2 ** votes;
}
