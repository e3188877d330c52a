import assert from "node:assert/strict";
import { test } from "node:test";
import { faceGaps } from "../../static/heights.js";

// The back wall of a room 3,000 wide and 2,000 deep: seen from inside, its left corner is at x = 0.
const wall = { x: 3000, y: 2000, ux: -1, uy: 0, length: 3000, name: "back wall" };
const boiler = { points: [[-250, -150], [250, -150], [250, 150], [-250, 150]], radius: 0, height: 900 };
const place = { x: 1000, y: 1850, turn: 0, base: 600 };
const level = [[[0, 2400], [3000, 2400]]];
const standing = (x0, x1, base, height, y0 = 1700) => ({
  points: [[x0, y0], [x1, y0], [x1, y0 + 300], [x0, y0 + 300]], radius: 0, base, height,
});
const measures = (tops, others) => faceGaps(boiler, place, wall, tops, others).map(({ mm }) => mm);

test("on a bare wall the lengths run to the corners, the floor and the ceiling", () => {
  // from 750 to 1,250, from 600 to 1,500
  assert.deepEqual(measures(level, []), [750, 1750, 600, 900]);
});

test("what stands beside, below and above comes first, but not what stands out in the room", () => {
  const others = [standing(1800, 2200, 0, 900), standing(900, 1100, 0, 400), standing(700, 800, 1700, 200), standing(300, 500, 0, 900, 400)];

  assert.deepEqual(measures(level, others), [750, 550, 200, 200]);
});

test("below a slope the length upwards is the shortest one", () => {
  const [, , , up] = faceGaps(boiler, place, wall, [[[0, 2400], [3000, 1800]]], []);

  // the ceiling falls 200 mm in 1,000: over the right edge at 1,250 it is 2,150
  assert.deepEqual([up.mm, up.from], [650, [1250, 1500]]);
});

test("where no ceiling is measured nothing is said of it", () => {
  assert.deepEqual(measures([], []), [750, 1750, 600]);
});
