import assert from "node:assert/strict";
import { test } from "node:test";
import { aboutTheMiddle, along, toggled } from "../../static/several.js";

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
