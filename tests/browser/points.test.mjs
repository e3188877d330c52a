import assert from "node:assert/strict";
import { test } from "node:test";
import { movedBy, movedOnWall, onStretch, onStretchOf, onWall, toLine } from "../../static/points.js";

test("a point goes in steps of 5 mm and keeps its height", () => {
  assert.deepEqual(movedBy([1000, 2000, 400], [203, -197], 0.1, false), [1205, 1805, 400]);
});

test("near the line of x or y it goes straight along it: 6 px are 60 mm at 0.1 px to the mm", () => {
  assert.deepEqual(movedBy([1000, 2000, 400], [300, 59], 0.1, false), [1300, 2000, 400]);
  assert.deepEqual(movedBy([1000, 2000, 400], [300, 60], 0.1, false), [1300, 2060, 400]);
});

test("with Alt it goes freely by the millimetre", () => {
  assert.deepEqual(movedBy([1000, 2000, 400], [301.4, 2.6], 0.1, true), [1301, 2003, 400]);
});

test("a bend put in lies on the line, at the height that the line has there", () => {
  assert.deepEqual(onStretch([0, 0, 400, 1000, 0, 380], [250, 90]), [250, 0, 395]);
});

test("beyond the ends of a stretch it lies at the end", () => {
  assert.deepEqual(onStretch([0, 0, 400, 1000, 0, 380], [-50, 0]), [0, 0, 400]);
  assert.deepEqual(onStretch([0, 0, 400, 1000, 0, 380], [1200, 5]), [1000, 0, 380]);
});

const BACK = { x: 4000, y: 3000, ux: -1, uy: 0, length: 4000 };

test("on the face of the back wall, seen from inside, right is +x and up is up; across the wall nothing changes", () => {
  assert.deepEqual(movedOnWall([1000, 2974, 400], [203, 97], BACK, 0.1, false), [1205, 2974, 495]);
  assert.deepEqual(movedOnWall([1000, 2974, 400], [203, 59], BACK, 0.1, false), [1205, 2974, 400]);
  assert.deepEqual(movedOnWall([1000, 2974, 400], [3.4, -1.6], BACK, 0.1, true), [1003, 2974, 398]);
});

test("a point is seen on a face as far from its left corner as it is along the wall", () => {
  assert.deepEqual(onWall(BACK, [1000, 2974, 400]), [1000, 400]);
  assert.deepEqual(onWall({ x: 4000, y: 0, ux: 0, uy: 1, length: 3000 }, [3974, 500, 150]), [2500, 150]);
});

test("a bend put in on the face of a wall lies on the line too", () => {
  const wall = { x: 1000, y: 0, ux: -1, uy: 0, length: 1000 };
  assert.deepEqual(onStretchOf(wall, [0, 0, 400, 1000, 0, 380], [250, 395]), [250, 0, 395]);
});

test("how far a place is from a line counts to its nearest stretch", () => {
  assert.equal(toLine([[0, 0], [10, 0], [10, 10]], [13, 5]), 3);
  assert.equal(toLine([[0, 0], [10, 0]], [14, 3]), 5);
});
