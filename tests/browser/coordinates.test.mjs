import assert from "node:assert/strict";
import { test } from "node:test";
import { apply, inverse, swept, turned } from "../../static/coordinates.js";

const PLAN = [0.1, 0, 0, -0.1, 547, 480]; // 0.1 px per mm, y up

test("a point of the room and back again is the same point", () => {
  const there = apply(PLAN, [2600, 1900]);

  assert.deepEqual(there, [807, 290]);
  assert.deepEqual(apply(inverse(PLAN), there).map(Math.round), [2600, 1900]);
});

test("a move is not shifted", () => {
  assert.deepEqual(swept(PLAN, [100, 100]), [10, -10]);
});

test("a turned page comes back too", () => {
  const face = [0, -0.1, -0.1, 0, 536, 480];

  assert.deepEqual(apply(inverse(face), apply(face, [1900, 2400])).map(Math.round), [1900, 2400]);
});

test("quarter turns are exact and anticlockwise", () => {
  assert.deepEqual(turned([0, -1], 90), [1, 0]);
  assert.deepEqual(turned([0, -1], -90), [-1, 0]);
  assert.deepEqual(turned([3, 4], 360), [3, 4]);
});

test("any other turn keeps the length", () => {
  const [x, y] = turned([3, 4], 33);

  assert.ok(Math.abs(Math.hypot(x, y) - 5) < 1e-12);
});
