import assert from "node:assert/strict";
import { test } from "node:test";
import { boxOf, boxOnFace, boxOnPlan, farFrom, isInside } from "../../static/boxes.js";

// 0.1 px a mm, y turned over, the corner of the room at (100, 300)
const plan = [0.1, 0, 0, -0.1, 100, 300];
const round = { points: [[400, 500]], radius: 200, base: 0, height: 900 };

test("a frame may be drawn from any corner", () => {
  assert.deepEqual(boxOf([[30, 5], [10, 20]]), [10, 5, 30, 20]);
});

test("the box of a round piece touches it on all four sides, also where the plan is turned a quarter", () => {
  assert.deepEqual(boxOnPlan(round, plan, 0.1), [120, 230, 160, 270]);
  assert.deepEqual(boxOnPlan(round, [0, 0.1, 0.1, 0, 0, 0], 0.1), [30, 20, 70, 60]);
});

test("on a wall it is seen from the wall's left corner and as high as it hangs", () => {
  // the back wall of a room 2,400 wide runs against x; its left corner, seen from inside, is at x = 0
  const back = { x: 2400, y: 1800, ux: -1, uy: 0, length: 2400 };
  const hung = { points: [[800, 1500], [1240, 1500], [1240, 1800], [800, 1800]], radius: 0, base: 1200, height: 700 };

  assert.deepEqual(boxOnFace(hung, back, [0.1, 0, 0, -0.1, 50, 400]), [130, 210, 174, 280]);
});

test("what touches the frame from inside is inside, what sticks out of it is not", () => {
  assert.ok(isInside([10, 10, 20, 20], [10, 0, 20, 20]));
  assert.ok(!isInside([10, 10, 20, 21], [10, 0, 20, 20]));
});

test("how far a box is counts from its middle", () => {
  assert.equal(farFrom([0, 0], [2, 2, 4, 6]), 5);
});
