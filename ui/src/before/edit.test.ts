import assert from "node:assert/strict";
import { test } from "node:test";
import type { LightFix, PlanPlan } from "../api/types";
import { farEnough, fixed, fourWalls, heldOrder, linesOf, moveCamera, moveLamp, nextStop, ownLens, put, turn } from "./edit";
import { bearingOf, cameraAt, pointAt } from "./geometry";

const musician = { x: 2, y: 3 };

test("a field that is emptied is gone", () => {
  assert.deepEqual(put({ a: 1, b: 2 }, "a", undefined), { b: 2 });
  assert.deepEqual(put({ a: 1 }, "b", ""), { a: 1 });
});

test("directions are clockwise from up", () => {
  const p = pointAt(musician, 90, 2);
  assert.ok(Math.abs(p.x - 4) < 1e-9 && Math.abs(p.y - 3) < 1e-9);
  for (let deg = -170; deg <= 180; deg += 10) assert.ok(Math.abs(turn(bearingOf(musician, pointAt(musician, deg, 1.5)) - deg)) < 1e-6);
});

test("a camera that is dragged stands where it was let go", () => {
  const to = { x: 3.5, y: 1 };
  const moved = moveCamera({ name: "face" }, to, musician, 180);
  const back = cameraAt({ musician: { at: musician, faces: 180 } }, moved);
  assert.ok(back && Math.hypot(back.x - to.x, back.y - to.y) < 0.03); // a centimetre and half a degree
});

test("a lamp that is dragged keeps to the way it was placed", () => {
  assert.deepEqual(moveLamp({ lamp: "a", at: { x: 0, y: 0 }, height: 2 }, { x: 1, y: 1 }, musician, 0), { lamp: "a", at: { x: 1, y: 1 }, height: 2 });
  const l = moveLamp({ lamp: "a", distance: 1, elevation: 60 }, { x: 2, y: 4 }, musician, 0);
  assert.equal(l.distance, 2); // a metre on the floor at 60° is two through the air
  assert.equal(l.bearing, 0);
});

test("each fix of the light changes one number", () => {
  const plan: PlanPlan = { setups: [{ name: "face", iso: 800 }], lights: [{ name: "evening", lamps: [{ lamp: "soft", distance: 1.4 }] }] };
  const done = (fix: Pick<LightFix, "do" | "value">) => fixed({ ...fix, words: "", left_stops: 0 }, 0, 0, 0, undefined)?.(plan);
  assert.equal(done({ do: "move", value: 1.912 })?.lights?.[0]?.lamps?.[0]?.distance, 1.91);
  assert.equal(done({ do: "dial", value: 91.04 })?.lights?.[0]?.lamps?.[0]?.dial_lux, 91);
  assert.deepEqual(done({ do: "net", value: -1 })?.lights?.[0]?.lamps?.[0]?.filters, [{ name: "net", stops: -1 }]);
  assert.equal(done({ do: "iso", value: 500 })?.setups?.[0]?.iso, 500);
  assert.equal(done({ do: "practicals", value: 1 }), undefined);
});

test("what a person has is offered first", () => {
  const fit = { shape: "2.39:1", frame_width: 0, frame_height: 0, kept_width: 0, kept_height: 0, need_width: 0, need_height: 0, step_back: 2.4136, focal: 36 };
  const lens = (focal_mm: number) => ({ name: `${focal_mm}`, focal_mm });
  assert.equal(ownLens([lens(28), lens(35), lens(40)], fit)?.name, "35");
  assert.equal(ownLens([lens(40)], fit), undefined);
  assert.ok(farEnough(fit.step_back) >= fit.step_back);
  assert.equal(nextStop(4.03), 4); // a tenth of a stop is let pass
  assert.equal(nextStop(4.3), 4.5);
});

test("the order is held as far as the hand has put it", () => {
  assert.deepEqual(heldOrder(["a", "b", "c", "d"], "d", 1), ["a", "d"]);
  assert.deepEqual(heldOrder(["a", "b", "c", "d"], "a", 2), ["b", "c", "a"]);
});

test("a room of two lengths closes", () => {
  let at = { x: 0, y: 0 };
  let deg = 0;
  for (const w of fourWalls(4.6, 5.4)) {
    at = pointAt(at, deg, w.length);
    deg += w.turn;
  }
  assert.ok(Math.hypot(at.x, at.y) < 1e-9);
});

test("typed lines begin with their section", () => {
  assert.deepEqual(linesOf("V1 Count the coats\n\nI1\n  C1: Slow"), [{ section: "V1", text: "Count the coats" }, { section: "I1" }, { section: "C1", text: "Slow" }]);
});
