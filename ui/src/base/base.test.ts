import assert from "node:assert/strict";
import { test } from "node:test";
import { nearest, passAt } from "./laid";
import { TimeScale } from "./scale";
import { clockText, frameSeconds, song, span } from "./time";

/** Numbers that come out the same in every run. */
function* chance(seed: number): Generator<number, never> {
  let s = seed;
  for (;;) {
    s = (s * 1664525 + 1013904223) >>> 0;
    yield s / 2 ** 32;
  }
}

const draw = (from: Generator<number, never>, low: number, high: number): number => low + from.next().value * (high - low);

test("a time comes back from its pixel", () => {
  const c = chance(1);
  for (let i = 0; i < 2000; i++) {
    const scale = new TimeScale(song(draw(c, -5, 600)), draw(c, -200, 400), draw(c, 0.5, 4000), draw(c, 0.5, 4));
    const t = song(draw(c, -10, 700));
    assert.ok(Math.abs(scale.time(scale.px(t)) - t) < 1e-9 * Math.max(1, Math.abs(t)) + 1e-9);
  }
});

test("a device pixel is never more than half of one away", () => {
  const c = chance(2);
  for (let i = 0; i < 2000; i++) {
    const scale = new TimeScale(song(draw(c, 0, 300)), draw(c, 0, 300), draw(c, 1, 2000), draw(c, 1, 3));
    const t = song(draw(c, 0, 400));
    const d = scale.device(t);
    assert.equal(d, Math.round(d));
    assert.ok(Math.abs(d - scale.px(t) * scale.density) <= 0.5 + 1e-9);
  }
});

test("later is further to the right", () => {
  const c = chance(3);
  for (let i = 0; i < 1000; i++) {
    const scale = TimeScale.over(span(draw(c, 0, 10), draw(c, 11, 400)), 0, draw(c, 10, 2000), 1);
    const a = draw(c, 0, 400);
    const b = a + draw(c, 0.001, 10);
    assert.ok(scale.px(song(b)) > scale.px(song(a)));
  }
});

test("a scale over a span begins and ends with it", () => {
  const scale = TimeScale.over(span(12.5, 20), 40, 750, 2);
  assert.equal(scale.px(song(12.5)), 40);
  assert.ok(Math.abs(scale.px(song(20)) - 790) < 1e-9);
});

test("a scale without length is refused", () => {
  assert.throws(() => new TimeScale(song(0), 0, 0, 1), RangeError);
  assert.throws(() => new TimeScale(song(0), 0, 10, 0), RangeError);
});

test("a laid map goes through its knots and on at slope one", () => {
  const knots: [number, number][] = [
    [1, 4],
    [3, 6.2],
    [8, 10.9],
  ];
  const near = (got: number | undefined, want: number): void => assert.ok(Math.abs((got ?? NaN) - want) < 1e-9, `${got}, not ${want}`);
  for (const [s, p] of knots) near(passAt(knots, song(s)), p);
  near(passAt(knots, song(0)), 3);
  near(passAt(knots, song(9)), 11.9);
  near(passAt(knots, song(2)), 5.1);
  assert.equal(passAt([], song(2)), undefined);
});

test("a laid map is the slow search through its pieces", () => {
  const c = chance(4);
  for (let n = 0; n < 200; n++) {
    const knots: [number, number][] = [[draw(c, 0, 1), draw(c, 0, 3)]];
    for (let k = 0; k < 12; k++) {
      const last = knots[knots.length - 1] ?? [0, 0];
      knots.push([last[0] + draw(c, 0.1, 4), last[1] + draw(c, 0.1, 4)]);
    }
    for (let i = 0; i < 20; i++) {
      const t = draw(c, knots[0]?.[0] ?? 0, knots[12]?.[0] ?? 0);
      let want = NaN;
      for (let k = 1; k < knots.length; k++) {
        const a = knots[k - 1] ?? [0, 0];
        const b = knots[k] ?? [0, 0];
        if (t >= a[0] && t <= b[0]) want = a[1] + ((t - a[0]) * (b[1] - a[1])) / (b[0] - a[0]);
      }
      assert.ok(Math.abs((passAt(knots, song(t)) ?? NaN) - want) < 1e-9);
    }
  }
});

test("the nearest is nearest", () => {
  assert.equal(nearest([1, 2, 4], 2.9), 2);
  assert.equal(nearest([1, 2, 4], 3.1), 4);
  assert.equal(nearest([1, 2, 4], -7), 1);
  assert.equal(nearest([1, 2, 4], 99), 4);
});

// SMPTE ST 12-1: 30000/1001 frames a second last 33.3667 ms each.
test("frames last what the standard says", () => {
  assert.ok(Math.abs(frameSeconds("30000/1001") - 0.0333667) < 1e-7);
  assert.equal(frameSeconds("25/1"), 0.04);
});

test("times are said as people say them", () => {
  assert.equal(clockText(252), "4:12");
  assert.equal(clockText(59.99), "0:59");
  assert.equal(clockText(59.99, true), "0:59.9");
  assert.equal(clockText(7.34, true), "0:07.3");
});
