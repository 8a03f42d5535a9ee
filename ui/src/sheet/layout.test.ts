import assert from "node:assert/strict";
import { test } from "node:test";
import type { Film, Pass } from "../api/types";
import { song, span } from "../base/time";
import { type Zoom, dealOut, halfOf, layRow, layWords, placeAt, planOf } from "./layout";
import { addressOf, factsOf, rowAt, scoreOf, shotAt, shotsOf } from "./score";

/** A song of lines of two bars of 4/4 at 120, sections of two lines, and passes over all of it. */
function filmOf(lines: number, passes: number): Film {
  const at = (beat: number) => song(1 + beat * 0.5);
  const all = lines * 8;
  return {
    rev: 1,
    name: "Slow Ferry Home",
    record: "record.wav",
    fps: "25/1",
    orders: null,
    setups: [{ name: "wide" }, { name: "hands" }],
    pins: null,
    done: null,
    undone: null,
    wishes: { shortest_s: 0, longest_s: 0, wanted_s: 0, speed: 0 },
    song: {
      duration: song(at(all) + 2),
      music: span(1, at(all)),
      tempo_bpm: 120,
      beats_per_bar: 4,
      tuning_cents: 0,
      sureness: 1,
      beats: Array.from({ length: all }, (_, i) => ({ at: at(i), in_bar: i % 4 })),
      bars: null,
      lines: Array.from({ length: lines }, (_, i) => ({ section: i >> 1, number: 1 + (i & 1), span: { from: at(8 * i), to: at(8 * i + 8) }, text: `line ${i}` })),
      sections: Array.from({ length: lines >> 1 }, (_, i) => ({ name: `A${i + 1}`, letter: "A", span: { from: at(16 * i), to: at(16 * i + 16) } })),
    },
    passes: Array.from(
      { length: passes },
      (_, i): Pass => ({
        name: `${i % 2 ? "hands" : "wide"} ${i}`,
        setup: i % 2 ? "hands" : "wide",
        status: "aligned",
        reason: "",
        playback: false,
        semitones: 0,
        width: 1920,
        height: 1080,
        fps: "25/1",
        files: null,
        ribbons: [{ segment: 0, first: 0, cells: Array.from({ length: all }, () => ({ state: "holds", hold_s: 4, score: 90 })), span: { from: at(0), to: at(all) }, knots: null, lays: null }],
      }),
    ),
  };
}

const paper = { width: 760, height: 820, rem: 16, density: 2 };
const zooms: readonly Zoom[] = ["song", "section", "line"];

test("rows cover the song once and in order", () => {
  for (const lines of [2, 24, 120]) {
    const { rows, film } = scoreOf(filmOf(lines, 4));
    assert.equal(rows[0]?.span.from, 0);
    assert.equal(rows[rows.length - 1]?.span.to, film.song.duration);
    for (let i = 1; i < rows.length; i++) assert.equal(rows[i]?.span.from, rows[i - 1]?.span.to);
    assert.deepEqual(
      rows.flatMap((r) => Array.from({ length: r.endBeat - r.firstBeat }, (_, i) => r.firstBeat + i)),
      Array.from({ length: lines * 8 }, (_, i) => i),
    );
  }
});

test("every time has its row, pixel and beat, and comes back", () => {
  const score = scoreOf(filmOf(24, 10));
  for (const zoom of zooms) {
    const plan = planOf(score, zoom, paper);
    for (let t = 0.01; t < score.film.song.duration; t += 0.37) {
      const row = rowAt(score, song(t));
      assert.ok(row && t >= row.span.from && t < row.span.to);
      const lay = layRow(score, plan, row);
      const px = lay.scale.px(song(t));
      assert.ok(px >= lay.label - 1e-9 && px <= plan.columnWidth + 1e-9, `${zoom}: ${t} lies at ${px}`);
      assert.ok(Math.abs(lay.scale.time(px) - t) < 1e-9);
    }
  }
});

test("no ribbon lies over another or outside of its row", () => {
  for (const passes of [1, 12, 60]) {
    const score = scoreOf(filmOf(8, passes));
    for (const zoom of ["section", "line"] as const) {
      const plan = planOf(score, zoom, paper);
      for (const row of score.rows) {
        const lay = layRow(score, plan, row);
        let bottom = lay.cut.y + lay.cut.height;
        for (const p of lay.places) {
          assert.ok(p.y - p.half >= bottom - 1e-9);
          bottom = p.y + p.half;
          assert.equal(placeAt(lay, p.y), p);
        }
        assert.ok(bottom <= lay.height);
      }
    }
  }
});

test("a whole song of ordinary length is on one page", () => {
  const score = scoreOf(filmOf(36, 20));
  const wide = { ...paper, width: 860 };
  const plan = planOf(score, "song", wide);
  const heights = score.rows.map((r) => layRow(score, plan, r).height + (r.section >= 0 && r.section !== score.rows[r.index - 1]?.section ? 1.6 * 16 : 0));
  const columns = dealOut(heights, plan.columns);
  const sums = Array.from({ length: plan.columns }, (_, c) => heights.reduce((sum, h, i) => sum + (columns[i] === c ? h : 0), 0));
  assert.ok(Math.max(...sums) < wide.height * 1.15, `the longest of ${plan.columns} columns takes ${Math.max(...sums)} of ${wide.height}`);
});

test("columns are dealt out in order and evenly", () => {
  const heights = Array.from({ length: 97 }, (_, i) => 20 + ((i * 37) % 23));
  for (const n of [1, 2, 3, 5]) {
    const columns = dealOut(heights, n);
    for (let i = 1; i < columns.length; i++) assert.ok((columns[i] ?? 0) - (columns[i - 1] ?? 0) === 0 || (columns[i] ?? 0) - (columns[i - 1] ?? 0) === 1);
    const sums = Array.from({ length: n }, (_, c) => heights.reduce((sum, h, i) => sum + (columns[i] === c ? h : 0), 0));
    assert.ok(Math.max(...sums) - Math.min(...sums) <= 2 * Math.max(...heights));
  }
});

test("what may be held longer is thicker, never thicker than there is room", () => {
  let before = 0;
  for (let s = 0; s <= 60; s += 0.5) {
    const h = halfOf(s, 8);
    assert.ok(h > before && h <= 8);
    before = h;
  }
});

test("words keep their order and never touch", () => {
  for (let n = 0; n < 300; n++) {
    const at = [0, 10, 12, 60, 64].map((x) => x + (n % 7));
    const widths = [20 + (n % 11), 8, 30, 12 + (n % 5), 40];
    const xs = layWords(at, widths, 5, 200);
    assert.ok(xs);
    for (let i = 1; i < xs.length; i++) assert.ok((xs[i] ?? 0) >= (xs[i - 1] ?? 0) + (widths[i - 1] ?? 0) + 5 - 1e-9);
    assert.ok((xs[4] ?? 0) + (widths[4] ?? 0) <= 200 + 1e-9);
  }
  assert.equal(layWords([0, 10], [300, 300], 5, 200), undefined);
});

test("addresses are those of the program", () => {
  const score = scoreOf(filmOf(4, 1));
  assert.equal(addressOf(score, song(0.2)), "intro");
  assert.equal(addressOf(score, song(1)), "A1.1/1");
  assert.equal(addressOf(score, song(2.99)), "A1.1/5"); // a cut lies up to two frames before its beat
  assert.equal(addressOf(score, song(6.6)), "A1.2/4");
  assert.equal(addressOf(score, song(9.2)), "A2.1/1");
  assert.equal(addressOf(score, song(17.5)), "end");
});

test("shots lie where their frames say, with pace and shares", () => {
  const shot = (first: number, end: number, setup: string) => ({
    first_frame: first,
    end_frame: end,
    pass: `${setup} 1`,
    clip: 1,
    file: "a.mp4",
    setup,
    segment: 0,
    source_start_s: 3,
    speed: 1,
    hold_error_ms: 0,
    map_error_ms: 0,
    agreement: 1,
    worst: 1,
    why: "",
  });
  const shots = shotsOf({
    order: "a",
    states: ["holds", "doubtful"],
    pinned: null,
    differs: null,
    mean_shot: 2,
    agreeing: 1,
    not_agreeing: 0,
    cut: { fps: "25/1", shape: "16:9", song_frames: 100, shots: [shot(0, 75, "wide"), shot(75, 100, "hands")], song_from_s: song(10) },
  } as unknown as Parameters<typeof shotsOf>[0]);
  assert.equal(shots[1]?.span.from, 13);
  assert.equal(shotAt(shots, song(12.99))?.shot.setup, "wide");
  assert.equal(shotAt(shots, song(13))?.shot.setup, "hands");
  const facts = factsOf(shots, span(10, 14));
  assert.equal(facts.meanShot, 2);
  assert.deepEqual(facts.shares, [
    { setup: "wide", share: 0.75 },
    { setup: "hands", share: 0.25 },
  ]);
});
