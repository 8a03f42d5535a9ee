import assert from "node:assert/strict";
import { test } from "node:test";
import { curveThrough } from "./curve";
import { byChance, evenDims, meanLight, stopsApart } from "./even";
import { barsOf, finishOf } from "./finish";
import { colourPart, isSet, switched } from "./words";

test("the bars of 2.39:1 on full HD leave 804 lines", () => {
  const bars = barsOf("2.39:1", 1920, 1080);
  assert.equal(Math.round(1080 * (1 - 2 * bars.top)), 804);
  assert.equal(bars.left, 0);
  assert.equal(Math.round(1920 * barsOf("4:3", 1920, 1080).left), 240);
  assert.deepEqual(barsOf("", 1920, 1080), { left: 0, top: 0 });
});

test("edges of s stops leave 2^-s of the light in the corners", () => {
  const { edge } = finishOf({ edge: { stops: 1.5 } }, { width: 1920, height: 1080 });
  assert.ok(Math.abs((Math.cos(edge.angle) ** 4) ** 2.4 - 2 ** -1.5) < 1e-12);
});

test("two pictures come out equally bright", () => {
  const grey = (code: number): Uint8Array => new Uint8Array(400).fill(code);
  const [a, b] = [meanLight(grey(180)), meanLight(grey(90))];
  const [da, db] = evenDims(a, b);
  assert.equal(db, 1);
  assert.ok(stopsApart(meanLight(grey(Math.round(180 * da))), meanLight(grey(90 * db))) < 0.05);
});

test("what chance does with five votes", () => {
  assert.equal(byChance(5, 5), 1 / 32);
  assert.equal(byChance(4, 5), 6 / 32);
  assert.equal(byChance(0, 5), 1);
});

test("only what changes colours asks for a table", () => {
  assert.equal(colourPart({ edge: { stops: 1 }, letterbox: "2:1" }, undefined), undefined);
  assert.equal(colourPart({ exposure_stops: 1, off: ["exposure"] }, undefined), undefined);
  assert.equal(colourPart({ off: ["trim"] }, { tint: 3 }), undefined);
  assert.deepEqual(colourPart({ edge: { stops: 1 }, exposure_stops: 0.5 }, {}), { look: { exposure_stops: 0.5 }, trim: {} });
  assert.ok(colourPart({}, { tint: 3 }));
});

test("a step keeps its setting while it is off", () => {
  const off = switched({ exposure_stops: 1 }, "exposure", false);
  assert.deepEqual(off, { exposure_stops: 1, off: ["exposure"] });
  assert.ok(isSet(off, null, "exposure"));
  assert.deepEqual(switched(off, "exposure", true).off, []);
});

test("the drawn curve goes through its knots and is monotone where they are", () => {
  const knots = [
    { in: 0, out: 0.02 },
    { in: 0.2, out: 0.05 },
    { in: 0.3, out: 0.6 },
    { in: 1, out: 0.6 },
  ];
  const at = curveThrough(knots);
  for (const k of knots) assert.ok(Math.abs(at(k.in) - k.out) < 1e-12);
  for (let x = 0; x < 1; x += 0.01) assert.ok(at(x + 0.01) >= at(x) - 1e-12, `falls at ${x}`);
  const straight = curveThrough([
    { in: 0, out: 0 },
    { in: 0.4, out: 0.4 },
    { in: 1, out: 1 },
  ]);
  assert.ok(Math.abs(straight(0.7) - 0.7) < 1e-12);
});
