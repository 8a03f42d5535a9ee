import type { CDL, Look, Step, Trim, White } from "../api/types";

/** The steps in their fixed order, as they are called here. */
export const steps: readonly { readonly step: Step; readonly words: string }[] = [
  { step: "trim", words: "trims" },
  { step: "exposure", words: "exposure" },
  { step: "white", words: "white" },
  { step: "cdl", words: "slope, power" },
  { step: "curve", words: "contrast" },
  { step: "lut-a", words: "table" },
  { step: "lut-b", words: "second table" },
  { step: "edge", words: "edges" },
  { step: "letterbox", words: "bars" },
];

export const neutralCDL: CDL = { slope: [1, 1, 1], offset: [0, 0, 0], power: [1, 1, 1], saturation: 1 };

const some = (...numbers: readonly (number | undefined)[]): boolean => numbers.some((n) => (n ?? 0) !== 0);

export const whiteSet = (w: White | undefined): boolean => some(w?.kelvin, w?.tint, w?.shift_mired);

export const trimSet = (t: Trim | undefined): boolean => some(t?.exposure_stops, t?.temperature_mired, t?.tint, t?.saturation);

/** Whether a step has a setting, be it on or off. */
export function isSet(l: Look, trims: { readonly [setup: string]: Trim | undefined } | null, step: Step): boolean {
  switch (step) {
    case "trim":
      return Object.values(trims ?? {}).some(trimSet);
    case "exposure":
      return some(l.exposure_stops);
    case "white":
      return whiteSet(l.white);
    case "cdl":
      return l.cdl !== undefined;
    case "curve":
      return (l.curve ?? []).length > 0;
    case "lut-a":
      return (l.lut_a?.file ?? "") !== "";
    case "lut-b":
      return (l.lut_b?.file ?? "") !== "";
    case "edge":
      return some(l.edge?.stops);
    case "letterbox":
      return (l.letterbox ?? "") !== "";
  }
}

export const isOn = (l: Look, step: Step): boolean => !(l.off ?? []).includes(step);

export function switched(l: Look, step: Step, on: boolean): Look {
  const off = (l.off ?? []).filter((s) => s !== step);
  return { ...l, off: on ? off : [...off, step] };
}

/** The part of a look that the table holds; undefined when it changes no colour. */
export function colourPart(l: Look, trim: Trim | undefined): { readonly look: Look; readonly trim: Trim } | undefined {
  const { edge: _edge, letterbox: _bars, ...look } = l;
  const t = isOn(l, "trim") && trim && trimSet(trim) ? trim : {};
  const works = steps.slice(1, 7).some((s) => isOn(l, s.step) && isSet(l, null, s.step));
  return works || trimSet(t) ? { look, trim: t } : undefined;
}
