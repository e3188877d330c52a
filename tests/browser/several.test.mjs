import assert from "node:assert/strict";
import { test } from "node:test";
import { aboutTheMiddle, along, asOne, toggled } from "../../static/several.js";
import { reach, snap } from "../../static/snap.js";

const at = (x, y, turn = 0, base = 0) => ({ x, y, turn, base });

test("what is carried along keeps its place to the piece in the hand", () => {
  assert.deepEqual(along(at(0, 0), at(10, 20, 0, 5), at(100, 200, 90, 300)), at(110, 220, 90, 305));
  assert.deepEqual(along(at(400, 900), at(500, 800, 90), at(1000, 900)), at(500, 1400, 90));
});

test("a piece that is picked again is let go", () => {
  assert.deepEqual([toggled(["a"], "b"), toggled(["a", "b"], "a")], [["a", "b"], ["b"]]);
});

test("two pieces turn about the middle between them", () => {
  assert.deepEqual(aboutTheMiddle([at(0, 0), at(200, 0)], 90), at(100, -100, 90));
});

const box = (w, d, more) => ({
  points: [[-w / 2, -d / 2], [w / 2, -d / 2], [w / 2, d / 2], [-w / 2, d / 2]], radius: 0, base: 0, height: 900, turn: 0, ...more,
});

test("several pieces are caught by the outline of all, and keep the room beyond it", () => {
  const second = box(400, 200, { x: 1500, y: 1100, turn: 90, right: 50, base: 300, height: 1200 });
  const both = asOne([box(500, 300, { x: 1000, y: 1000, base: 100 }), second]);
  const wall = { x: 3000, y: 0, ux: 0, uy: 1, length: 2000, name: "right wall" };
  const rest = snap(both, { x: 2370, y: 1000, turn: 0 }, { walls: [wall], others: [] }, { reachMm: 80, mayTurn: false });

  // the second reaches from 400 to 600 to the right of the first, and from 100 in front to 300 behind it
  assert.deepEqual([[1, 0], [-1, 0], [0, 1], [0, -1]].map((side) => reach(both, 0, side)), [600, 250, 300, 150]);
  assert.deepEqual([both.back, both.right, both.below, both.height], [50, 0, 0, 1400]);
  assert.equal(rest.x, 2400);
});
