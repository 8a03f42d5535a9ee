import assert from "node:assert/strict";
import { test } from "node:test";
import { call } from "./call";
import { figuresAt } from "./figures";
import { done, replay } from "./replay";
import twins from "./twins.json";
import type { Event, Plan, State } from "./types";

/** A value without what is empty: Go leaves that out. */
function full(v: unknown): unknown {
  if (Array.isArray(v)) return v.map(full);
  if (typeof v !== "object" || v === null) return v;
  const kept = Object.entries(v)
    .map(([k, w]) => [k, full(w)] as const)
    .filter(([, w]) => w !== "" && w !== 0 && w !== false && w !== null && w !== undefined && !(Array.isArray(w) && w.length === 0));
  return Object.fromEntries(kept);
}

test("the phone makes the same of every log as the program", () => {
  assert.ok(twins.days.length > 10);
  for (const d of twins.days) {
    const state = replay(d.events as Event[]);
    assert.deepEqual(full(state), full(d.state));
    const f = figuresAt(d.state as State, d.plan as Plan, d.now_ms);
    assert.equal(f.voice, d.figures.voice_count);
    assert.equal(f.passesLeft ?? -1, d.figures.passes_left);
    assert.ok(Math.abs((f.minutesLeft ?? 0) - d.figures.minutes_left) < 1e-9);
  }
});

test("the phone plays the tones that the program reads", () => {
  for (const [number, tones] of Object.entries(twins.calls)) {
    const ours = call(Number(number));
    assert.equal(ours.length, tones.length);
    tones.forEach((t, i) => {
      const o = ours[i];
      assert.ok(o && o.from_hz === t.from_hz && o.to_hz === t.to_hz && Math.abs(o.at_s - t.at_s) < 1e-9 && o.seconds === t.seconds);
    });
  }
});

test("an undo takes back what this phone did last", () => {
  const e = (id: string, phone: string, count: number, kind: string, of = ""): Event => ({ id, phone, count, at_ms: count, kind, of });
  const log = [e("1", "a", 1, "begin"), e("2", "b", 2, "flag"), e("3", "a", 3, "end"), e("4", "a", 4, "undo", "3")];
  assert.deepEqual(
    done(log, "a").map((x) => x.id),
    ["1"],
  );
});
