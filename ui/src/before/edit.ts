import type { LightFilter, LightFix, OpticsFit, PlanLens, PlanPlaced, PlanPlan, PlanSetup, RoomLeg, RoomPoint, ScheduleRules } from "../api/types";
import { bearingOf, pointAt } from "./geometry";
import type { Change } from "./planning";

/** The thing with a field set; without it when there is no value. */
export function put<T extends object>(thing: T, field: string, value: unknown): T {
  const next = { ...thing } as { [field: string]: unknown };
  if (value === undefined || value === "") delete next[field];
  else next[field] = value;
  return next as T;
}

/** The list with one member changed. */
export const at = <T>(all: readonly T[] | undefined, index: number, change: (t: T) => T): T[] => (all ?? []).map((t, i) => (i === index ? change(t) : t));

/** Puts a field of one of the plan's parts. */
export const inPart =
  (part: keyof PlanPlan, field: string, value: unknown): Change =>
  (p) =>
    put(p, part, put((p[part] ?? {}) as object, field, value));

export const ofSetup =
  (index: number, change: (s: PlanSetup) => PlanSetup): Change =>
  (p) =>
    put(p, "setups", at(p.setups, index, change));

export const ofPlaced =
  (light: number, lamp: number, change: (l: PlanPlaced) => PlanPlaced): Change =>
  (p) =>
    put(p, "lights", at(p.lights, light, (l) => put(l, "lamps", at(l.lamps, lamp, change))));

/** A room of four plain walls, walked along from its lower left corner. */
export const fourWalls = (across: number, along: number): RoomLeg[] => [along, across, along, across].map((length) => ({ length, turn: 90 }));

/** A setup to begin with: camera and musician on a chair, all that is not known left open. */
export const newSetup = (name: string): PlanSetup => ({ name, passes: 1 });

/** A name that none of the others has. */
export function freeName(stem: string, taken: readonly { readonly name: string }[]): string {
  if (!taken.some((t) => t.name === stem)) return stem;
  for (let n = 2; ; n++) if (!taken.some((t) => t.name === `${stem} ${n}`)) return `${stem} ${n}`;
}

/** Moves a lamp of a state to a place: it keeps to the way in which it was placed. */
export function moveLamp(l: PlanPlaced, to: RoomPoint, musician: RoomPoint, facesDeg: number): PlanPlaced {
  if (l.at) return { ...l, at: to };
  const level = Math.hypot(to.x - musician.x, to.y - musician.y);
  const up = Math.cos(((l.elevation ?? 0) * Math.PI) / 180);
  return { ...l, distance: cm(level / Math.max(0.1, up)), bearing: Math.round(turn(bearingOf(musician, to) - facesDeg)) };
}

/** Moves the camera of a setup to a place. */
export function moveCamera(s: PlanSetup, to: RoomPoint, musician: RoomPoint, facesDeg: number): PlanSetup {
  return { ...s, distance: cm(Math.hypot(to.x - musician.x, to.y - musician.y)), angle_deg: Math.round(turn(bearingOf(musician, to) - facesDeg)) };
}

/** Does what a fix of the light says; undefined where no number does it. */
export function fixed(fix: LightFix, light: number, lamp: number, setup: number, musician: RoomPoint | undefined): Change | undefined {
  const filter = (name: string): Change => ofPlaced(light, lamp, (l) => ({ ...l, filters: [...(l.filters ?? []), { name, stops: fix.value } satisfies LightFilter] }));
  switch (fix.do) {
    case "dial":
      return ofPlaced(light, lamp, (l) => ({ ...l, dial_lux: tidy(fix.value) }));
    case "move":
      return ofPlaced(light, lamp, (l) => farther(l, fix.value, musician));
    case "net":
    case "diffusion":
    case "bounce":
      return filter(fix.do);
    case "filter off":
      return ofPlaced(light, lamp, (l) => ({ ...l, filters: withoutOne(l.filters ?? [], (f) => Math.abs(f.stops - fix.value) < 0.01) }));
    case "iso":
      return ofSetup(setup, (s) => ({ ...s, iso: Math.round(fix.value) }));
    case "stop":
      return ofSetup(setup, (s) => ({ ...s, stop: +fix.value.toFixed(1) }));
    case "nd":
      return ofSetup(setup, (s) => ({ ...s, nd_stops: +fix.value.toFixed(2) }));
    default:
      return undefined;
  }
}

/** The lamp at another distance on its own line; one that stands at a height is moved on the floor. */
function farther(l: PlanPlaced, distance: number, musician: RoomPoint | undefined): PlanPlaced {
  if (!l.at || !musician) return { ...l, distance: cm(distance) };
  const face = 1.2; // where a seated face is, near enough for a move that is told again at once
  const level = Math.sqrt(Math.max(0.01, distance ** 2 - ((l.height ?? face) - face) ** 2));
  const to = pointAt(musician, bearingOf(musician, l.at), level);
  return { ...l, at: { x: cm(to.x), y: cm(to.y) } };
}

const withoutOne = <T>(all: readonly T[], is: (t: T) => boolean): T[] => {
  const i = all.findIndex(is);
  return all.filter((_, k) => k !== i);
};

/** What a distance is set to so that a shape just fits: a millimetre more, never less. */
export const farEnough = (metres: number): number => Math.ceil(metres * 1000) / 1000;

/** The person's own lens that is the longest of those that are short enough. */
export function ownLens(lenses: readonly PlanLens[], fit: OpticsFit): PlanLens | undefined {
  return lenses.filter((l) => (l.focal_mm ?? 0) > 0 && (l.focal_mm ?? 0) <= fit.focal).sort((a, b) => (b.focal_mm ?? 0) - (a.focal_mm ?? 0))[0];
}

const thirdStops = [1, 1.1, 1.2, 1.4, 1.6, 1.8, 2, 2.2, 2.5, 2.8, 3.2, 3.5, 4, 4.5, 5, 5.6, 6.3, 7.1, 8, 9, 10, 11, 13, 14, 16, 18, 20, 22];

/** The next third stop on a lens that is closed at least so far, but for a tenth of a stop. */
export const nextStop = (needed: number): number | undefined => thirdStops.find((s) => s >= needed * 2 ** (-0.1 / 2));

/** All rules of the order, as a plan has them to begin with. */
export const allRules: ScheduleRules = { safety_first: true, faces_first: true, one_relight: true, inserts_last: true };

/** The order that is held when a setup is put at another place: all up to there. */
export function heldOrder(order: readonly string[], name: string, to: number): string[] {
  const rest = order.filter((n) => n !== name);
  rest.splice(to, 0, name);
  return rest.slice(0, to + 1);
}

/** Typed lines of a song: each begins with its section, "V1 Count the coats along the wall". */
export function linesOf(text: string): { section: string; text?: string }[] {
  return text
    .split("\n")
    .map((row) => /^\s*([A-Za-z]+\d*)[.:]?(?:\s+(.*))?$/.exec(row))
    .filter((m) => m !== null)
    .map((m) => put({ section: m[1] ?? "" }, "text", (m[2] ?? "").trim()));
}

export const cm = (metres: number): number => Math.round(metres * 100) / 100;

/** Three digits that count. */
export const tidy = (v: number): number => Number(v.toPrecision(3));

/** An angle from -180 up to 180. */
export const turn = (deg: number): number => ((((deg + 180) % 360) + 360) % 360) - 180;
