import { TimeScale } from "../base/scale";
import { lengthOf, overlap } from "../base/time";
import type { Row, Score, Strand } from "./score";

/** How near the sheet is looked at. */
export type Zoom = "song" | "section" | "line";

/** What the sheet is laid out into, CSS pixels. */
export interface Paper {
  readonly width: number;
  readonly height: number; // of the window on the sheet
  readonly rem: number;
  readonly density: number;
}

/** Where a pass lies in a row. */
export interface Place {
  readonly strand: Strand;
  readonly y: number; // its middle
  readonly half: number; // half of its greatest thickness
}

export interface RowPlan {
  readonly scale: TimeScale;
  readonly width: number; // of the row, label included
  readonly height: number;
  readonly label: number; // width of the column of names
  readonly ticks: { readonly y: number; readonly height: number };
  readonly words: { readonly y: number; readonly height: number };
  readonly cut: { readonly y: number; readonly height: number }; // height 0: no pictures
  readonly places: readonly Place[];
  readonly groups: readonly { readonly index: number; readonly y: number; readonly height: number }[];
}

/** The measures that all rows share. */
export interface Plan {
  readonly zoom: Zoom;
  readonly columns: number;
  readonly columnWidth: number;
  readonly label: number;
  readonly perSecond: number;
  readonly ribbon: number; // height of a ribbon with its air
  readonly wordsHeight: number;
  readonly pictures: number; // height of the small pictures
  readonly density: number;
  readonly rem: number;
}

const columnGapRem = 2;
const songAirRem = 0.85;
const breathSeconds = 2.5;
const leastGroupRem = 0.75; // the name of a setup has room beside it

export function planOf(score: Score, zoom: Zoom, paper: Paper): Plan {
  const { rem, density } = paper;
  const narrow = paper.width < 36 * rem;
  const label = (zoom === "song" ? 2.6 : narrow ? 4.2 : 7) * rem;
  const many = Math.max(1, score.strands.length);
  let columns = 1;
  let ribbon: number;
  let wordsHeight: number;
  let pictures: number;
  switch (zoom) {
    case "song": {
      // As many columns as it takes to have all of it on one page, then as much air as there is.
      const groups = Math.max(1, score.groups.length);
      wordsHeight = 1.15 * rem;
      const least = wordsHeight + 4 * groups + songAirRem * rem;
      const headings = (score.film.song.sections ?? []).length * 1.6 * rem;
      const most = narrow ? 1 : Math.max(1, Math.floor((paper.width + columnGapRem * rem) / ((12.5 + columnGapRem) * rem)));
      while (columns < most && (score.rows.length * (least + 2 * rem) + headings) / columns > paper.height) columns++;
      const each = (paper.height - (headings + 2 * rem) / columns) / Math.ceil(score.rows.length / columns) - 1;
      ribbon = Math.min(7, Math.max(4, 4 + (each - least - 2 * rem) / groups));
      const left = each - wordsHeight - ribbon * groups - songAirRem * rem;
      pictures = left > 1.4 * rem && !narrow ? Math.min(2.6 * rem, left) : 0;
      break;
    }
    case "section":
      wordsHeight = 2.1 * rem;
      pictures = 3.7 * rem;
      ribbon = Math.min(0.8 * rem, Math.max(7, (paper.height / 2 - wordsHeight - pictures - 3 * rem) / many));
      break;
    case "line":
      wordsHeight = 3.4 * rem;
      pictures = (narrow ? 4.2 : 5.8) * rem;
      ribbon = Math.min(1.7 * rem, Math.max(0.95 * rem, (paper.height - wordsHeight - pictures - 5 * rem) / many));
      break;
  }
  if (score.strands.length === 0) pictures = 0;
  const columnWidth = (paper.width - (columns - 1) * columnGapRem * rem) / columns;
  const perSecond = Math.max(4, (columnWidth - label - 4) / score.longest);
  return { zoom, columns, columnWidth, label, perSecond, ribbon, wordsHeight, pictures, density, rem };
}

/** Lays one row out. Pure: the same plan and row give the same places. */
export function layRow(score: Score, plan: Plan, row: Row): RowPlan {
  const { rem, zoom } = plan;
  const scale = new TimeScale(row.span.from, plan.label, plan.perSecond, plan.density);
  const ticks = { y: 0, height: zoom === "song" ? 2 : 1.3 * rem };
  const words = { y: ticks.height, height: plan.wordsHeight };
  const cut = { y: words.y + words.height, height: plan.pictures };
  let y = cut.y + cut.height + (zoom === "song" ? 3 : 0.55 * rem);
  const places: Place[] = [];
  const groups: { index: number; y: number; height: number }[] = [];
  const air = zoom === "song" ? 0 : zoom === "section" ? 0.35 * rem : 0.6 * rem;
  // A breath before the first line or between two is not worth its ribbons.
  const breath = row.line < 0 && lengthOf(row.span) < breathSeconds;
  for (const group of breath ? [] : score.groups) {
    const top = y;
    if (zoom === "song") {
      y += plan.ribbon;
    } else {
      for (const strand of group.strands) {
        if (!(strand.pass.ribbons ?? []).some((r) => overlap(r.span, row.span) > 0.05)) continue;
        places.push({ strand, y: y + plan.ribbon / 2, half: plan.ribbon * 0.35 });
        y += plan.ribbon;
      }
    }
    if (y > top) {
      if (zoom === "section") y = Math.max(y, top + leastGroupRem * rem);
      groups.push({ index: group.index, y: top, height: y - top });
      y += air;
    }
  }
  return {
    scale,
    width: plan.label + lengthOf(row.span) * plan.perSecond,
    height: y + (zoom === "song" ? 0.5 * rem : 1.1 * rem),
    label: plan.label,
    ticks,
    words,
    cut,
    places,
    groups,
  };
}

/**
 * Deals things out to columns in order, so that none is much longer than the others:
 * each begins a new column once its middle lies beyond the share of the columns before.
 */
export function dealOut(heights: readonly number[], columns: number): readonly number[] {
  const all = heights.reduce((sum, h) => sum + h, 0);
  let sum = 0;
  return heights.map((h) => {
    const column = Math.min(columns - 1, Math.floor(((sum + h / 2) / Math.max(all, 1e-9)) * columns));
    sum += h;
    return column;
  });
}

/** The pass at a height of a row: the nearest one. */
export function placeAt(plan: RowPlan, y: number): Place | undefined {
  let best: Place | undefined;
  for (const p of plan.places) if (!best || Math.abs(p.y - y) < Math.abs(best.y - y)) best = p;
  const first = plan.places[0];
  return first && y < first.y - first.half * 2 ? undefined : best;
}

/** Half the thickness of a ribbon that may be held for so many seconds. */
export function halfOf(holdSeconds: number, most: number): number {
  const middling = 3; // seconds at which it is half as thick as it gets
  const hold = Math.max(holdSeconds, 0);
  return 0.6 + (most - 0.6) * (hold / (hold + middling));
}

/**
 * Lays words out on a line: each where it is sung, but never over the one before.
 * Returns left edges in the unit of `at`; undefined when they do not fit so.
 */
export function layWords(at: readonly number[], widths: readonly number[], space: number, end: number): readonly number[] | undefined {
  const out: number[] = [];
  let free = -Infinity;
  for (let i = 0; i < at.length; i++) {
    const x = Math.max(at[i] ?? 0, free);
    out.push(x);
    free = x + (widths[i] ?? 0) + space;
  }
  let limit = end;
  for (let i = out.length - 1; i >= 0; i--) {
    const most = limit - (widths[i] ?? 0);
    if ((out[i] ?? 0) <= most) break;
    out[i] = most;
    limit = most - space;
  }
  const first = at[0];
  return first !== undefined && (out[0] ?? 0) < first - 1 ? undefined : out;
}
