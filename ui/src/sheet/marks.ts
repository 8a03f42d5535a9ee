import type { Pin } from "../api/types";
import type { Picture } from "./inks";
import type { RowPlan } from "./layout";
import { common, eachRun, spanOf } from "./runs";
import type { Row } from "./score";

/** Why it is refused or doubtful, in words on the ribbon, where there is room. */
export function drawReasons(g: CanvasRenderingContext2D, p: Picture, row: Row, lay: RowPlan): void {
  g.font = `italic ${0.78 * p.plan.rem}px ${p.inks.serif}`;
  g.textBaseline = "middle";
  for (const place of lay.places) {
    for (const ribbon of place.strand.pass.ribbons ?? []) {
      eachRun(ribbon, row, (state, cells, first) => {
        if (state === "holds") return;
        const why = cells[0]?.why ?? "";
        const s = spanOf(p.score, ribbon, first, cells.length, row);
        const x0 = lay.scale.px(s.from) + 5;
        const room = lay.scale.px(s.to) - x0 - 5;
        const wide = g.measureText(why).width;
        if (why === "" || room < wide) return;
        g.fillStyle = p.inks.paper;
        g.fillRect(x0 - 3, place.y - 0.45 * p.plan.rem, wide + 6, 0.9 * p.plan.rem);
        g.fillStyle = p.inks.ink;
        g.fillText(why, x0, place.y + 0.5);
      });
    }
  }
}

/** A bracket over the stretch, with what must be seen. */
export function drawMustSee(g: CanvasRenderingContext2D, p: Picture, row: Row, lay: RowPlan): void {
  for (const m of p.score.film.song.must_see ?? []) {
    const s = common(m.span, row.span);
    if (!s) continue;
    const x0 = lay.scale.px(s.from) + 1;
    const x1 = lay.scale.px(s.to) - 1;
    const y = p.plan.zoom === "song" ? lay.cut.y - 1.5 : lay.ticks.height - 3;
    g.strokeStyle = p.inks.madder;
    g.lineWidth = 1.4;
    g.beginPath();
    g.moveTo(x0, y + 4);
    g.lineTo(x0, y);
    g.lineTo(x1, y);
    g.lineTo(x1, y + 4);
    g.stroke();
    if (p.plan.zoom === "song") continue;
    g.font = `italic ${0.74 * p.plan.rem}px ${p.inks.serif}`;
    g.textBaseline = "alphabetic";
    const words = m.text ? `${m.shows}: ${m.text}` : m.shows;
    const wide = g.measureText(words).width;
    g.fillStyle = p.inks.paper;
    g.fillRect(x0, 0, wide + 6, y - 2);
    g.fillStyle = p.inks.madder;
    g.fillText(words, x0 + 2, y - 4);
  }
}

/** The marks of decisions, in the manner of proof marks and notes on a score. */
export function drawPin(g: CanvasRenderingContext2D, p: Picture, row: Row, lay: RowPlan, pin: Pin): void {
  const touching = pin.span.to > pin.span.from ? common(pin.span, row.span) : pin.span.from >= row.span.from && pin.span.from < row.span.to ? pin.span : undefined;
  if (!touching) return;
  const x0 = lay.scale.px(touching.from);
  const x1 = lay.scale.px(touching.to);
  const begins = pin.span.from >= row.span.from;
  g.strokeStyle = p.inks.madder;
  g.fillStyle = p.inks.madder;
  g.lineWidth = 1.5;
  switch (pin.kind) {
    case "cut": // two slanted strokes, a break
      g.beginPath();
      for (const dx of [-1.5, 3.5]) {
        g.moveTo(x0 + dx - 3, lay.cut.y + lay.cut.height + 5);
        g.lineTo(x0 + dx + 3, lay.cut.y - 7);
      }
      g.stroke();
      return;
    case "no-cut": { // a tie over the stretch
      const a = x1 - x0 < 8 ? x0 - 14 : x0;
      const b = x1 - x0 < 8 ? x0 + 14 : x1;
      const y = lay.cut.y + lay.cut.height + 2;
      g.beginPath();
      g.moveTo(a + 2, y);
      g.quadraticCurveTo((a + b) / 2, y + 9, b - 2, y);
      g.quadraticCurveTo((a + b) / 2, y + 6, a + 2, y);
      g.fill();
      return;
    }
    case "show-pass":
    case "overrule":
    case "not-pass": {
      const place = lay.places.find((q) => q.strand.pass.name === pin.pass);
      if (place) markStrand(g, p, pin, x0, x1, place.y, place.half, begins);
      return;
    }
    case "show-setup":
    case "not-setup": {
      const q = lay.groups.find((s) => p.score.groups[s.index]?.setup.name === pin.setup);
      if (!q) return;
      if (pin.kind === "not-setup") {
        markStrand(g, p, { ...pin, kind: "not-pass" }, x0, x1, q.y + q.height / 2, q.height / 2, begins);
        return;
      }
      g.strokeRect(x0 + 1, q.y - 1, x1 - x0 - 2, q.height + 2);
      if (pin.strong) g.strokeRect(x0 + 4, q.y + 2, x1 - x0 - 8, q.height - 4);
      return;
    }
    default: {
      const never: never = pin.kind;
      return never;
    }
  }
}

function markStrand(g: CanvasRenderingContext2D, p: Picture, pin: Pin, x0: number, x1: number, y: number, half: number, begins: boolean): void {
  const h = half + 2;
  switch (pin.kind) {
    case "show-pass": // boxed, like a word that stays; a promise is boxed twice
      g.strokeRect(x0 + 1, y - h, x1 - x0 - 2, 2 * h);
      if (pin.strong) g.strokeRect(x0 + 4, y - h + 2.5, x1 - x0 - 8, 2 * h - 5);
      break;
    case "not-pass": // struck out
      g.beginPath();
      g.moveTo(x0 + 1, y + 1.2);
      g.lineTo(x1 - 1, y - 1.2);
      g.moveTo(x0 + 1, y - 1.6);
      g.lineTo(x1 - 1, y + 1.6);
      g.stroke();
      break;
    case "overrule": // dots beneath and the proof reader's word: let it stand
      for (let x = x0 + 3; x < x1; x += 6) {
        g.beginPath();
        g.arc(x, y + h, 1.1, 0, 2 * Math.PI);
        g.fill();
      }
      if (begins && half > 4) {
        g.font = `italic ${0.78 * p.plan.rem}px ${p.inks.serif}`;
        g.textBaseline = "middle";
        g.textAlign = "right";
        g.fillText("stet", x1 - 3, y - h + 1);
        g.textAlign = "left";
      }
      break;
    default:
      break;
  }
}
