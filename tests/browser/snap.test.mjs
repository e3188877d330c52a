import assert from "node:assert/strict";
import { test } from "node:test";
import { atWall, baseAt, facing, gaps, reach, restsOn, snap } from "../../static/snap.js";

// A room of 3,000 x 2,000, walls listed as its outline runs: anticlockwise, from the near left corner.
const walls = [
  { x: 0, y: 0, ux: 1, uy: 0, length: 3000, name: "near wall" },
  { x: 3000, y: 0, ux: 0, uy: 1, length: 2000, name: "right wall" },
  { x: 3000, y: 2000, ux: -1, uy: 0, length: 3000, name: "back wall" },
  { x: 0, y: 2000, ux: 0, uy: -1, length: 2000, name: "left wall" },
];
const box = (w, d, more = {}) => ({
  points: [[-w / 2, -d / 2], [w / 2, -d / 2], [w / 2, d / 2], [-w / 2, d / 2]], radius: 0, back: 0, base: 0, height: 900, ...more,
});
const round = (diameter) => ({ points: [[0, 0]], radius: diameter / 2, back: 0, base: 0, height: 1500 });
const standing = (name, x0, y0, x1, y1, more = {}) => ({
  name, points: [[x0, y0], [x1, y0], [x1, y1], [x0, y1]], radius: 0, base: 0, height: 900, ...more,
});
const empty = { walls, others: [] };
const near = { reachMm: 80 };

test("a piece faces away from each wall", () => {
  assert.deepEqual(walls.map(facing), [180, 270, 0, 90]);
});

test("the reach of a turned box is that of its other side", () => {
  assert.equal(reach(box(500, 300), 90, [1, 0]), 150);
  assert.equal(reach(round(550), 33, [0.6, 0.8]), 275);
});

test("a box near the right wall turns its back to it and touches it", () => {
  const rest = snap(box(500, 300), { x: 2800, y: 1000, turn: 0 }, empty, near);

  assert.deepEqual([rest.x, rest.y, rest.turn], [2850, 1000, 270]);
  assert.deepEqual(rest.against, ["right wall"]);
});

test("what stands off behind keeps its distance from the wall", () => {
  const rest = snap(box(500, 300, { back: 40 }), { x: 2800, y: 1000, turn: 0 }, empty, near);

  assert.equal(rest.x, 2810);
});

test("a piece in the middle of the floor is left where it is, to five millimetres", () => {
  const rest = snap(box(500, 300), { x: 1501, y: 1002, turn: 0 }, empty, near);

  assert.deepEqual([rest.x, rest.y, rest.turn, rest.against], [1500, 1000, 0, []]);
});

test("near the end of a wall it goes into the corner and keeps the turn it has", () => {
  const rest = snap(box(500, 300), { x: 290, y: 1830, turn: 0 }, empty, near);

  assert.deepEqual([rest.x, rest.y, rest.turn], [250, 1850, 0]);
  assert.deepEqual(rest.against, ["back wall", "the corner"]);
});

test("a piece that may not turn rests its side on the wall", () => {
  const rest = snap(box(500, 300), { x: 2700, y: 1000, turn: 0 }, empty, { ...near, mayTurn: false });

  assert.deepEqual([rest.x, rest.turn], [2750, 0]);
});

test("beside a neighbour on the same wall it touches it", () => {
  const others = [standing("cylinder", 1000, 1500, 1500, 2000)];
  const rest = snap(box(500, 300), { x: 1790, y: 1840, turn: 0 }, { walls, others }, near);

  assert.deepEqual([rest.x, rest.y], [1750, 1850]);
  assert.deepEqual(rest.against, ["back wall", "cylinder"]);
});

test("a neighbour at another height is no neighbour", () => {
  const others = [standing("cabinet", 1000, 1500, 1500, 2000, { base: 1400 })];
  const rest = snap(box(500, 300), { x: 1790, y: 1840, turn: 0 }, { walls, others }, near);

  assert.equal(rest.x, 1790);
});

test("out on the floor it lines up with a neighbour and touches it", () => {
  const others = [standing("tank", 1000, 800, 1400, 1200)];
  const rest = snap(box(500, 300), { x: 1670, y: 935, turn: 0 }, { walls, others }, near);

  assert.deepEqual([rest.x, rest.y], [1650, 950]);
  assert.deepEqual([rest.against, rest.inLine], [["tank"], ["tank"]]);
});

test("pushed into a wall it comes back to it", () => {
  const rest = snap(box(500, 300), { x: 1500, y: 1980, turn: 0 }, empty, near);

  assert.equal(rest.y, 1850);
});

test("a slanting wall turns the piece by its own angle", () => {
  const slant = [{ x: 0, y: 0, ux: 0.6, uy: 0.8, length: 1000, name: "slant" }];
  const rest = snap(round(400), { x: 150, y: 550, turn: 0 }, { walls: slant, others: [] }, near);

  const off = -rest.x * 0.8 + rest.y * 0.6;
  assert.ok(Math.abs(off - 200) < 0.1);
});

test("the free lengths beside a piece run to the walls and to what stands between", () => {
  const others = [standing("tank", 2000, 1500, 2400, 2000)];
  const free = gaps(box(500, 300), { x: 1000, y: 1850, turn: 0 }, { walls, others });

  assert.deepEqual(free.map((gap) => gap.mm), [750, 750, 1700, 0]);
  assert.deepEqual(free[1].to, [2000, 1850]);
});

test("touching is a gap of nothing", () => {
  const free = gaps(box(500, 300), { x: 250, y: 1850, turn: 0 }, empty);

  assert.equal(free[0].mm, 0);
});

test("a piece that somebody stood sideways against a wall stays sideways along it", () => {
  const sideways = { x: 1000, y: 1750, turn: 90 };
  const asItIs = restsOn(box(500, 300), sideways, walls);
  const rest = snap(box(500, 300), { ...sideways, x: 1300, y: 1760 }, empty, { ...near, asItIs });

  assert.deepEqual(asItIs, ["back wall"]);
  assert.deepEqual([rest.x, rest.y, rest.turn], [1300, 1750, 90]);
});

test("a piece comes to rest just clear of the room it keeps, and goes into the corner only when it is pushed there", () => {
  const piece = box(500, 300, { left: 50, right: 0 });
  const clear = snap(piece, { x: 290, y: 1830, turn: 0 }, empty, near);
  const pushed = snap(piece, { x: 205, y: 1830, turn: 0 }, empty, near);

  assert.deepEqual([clear.x, clear.against, clear.clearOf], [300, ["back wall"], ["the corner"]]);
  assert.deepEqual([pushed.x, pushed.against, pushed.clearOf], [250, ["back wall", "the corner"], []]);
});

test("beside a neighbour the larger of the two rooms is kept", () => {
  const tank = standing("tank", 1000, 1700, 1500, 2000, { turn: 0, right: 60 });
  const rest = snap(box(500, 300, { left: 20 }), { x: 1790, y: 1830, turn: 0 }, { walls, others: [tank] }, near);

  assert.deepEqual([rest.x, rest.clearOf], [1810, ["tank"]]);
});

test("what hangs goes to the nearest wall from anywhere on the floor", () => {
  const rest = snap(box(500, 300, { hangs: true }), { x: 2000, y: 900, turn: 0 }, empty, near);

  assert.deepEqual([rest.y, rest.turn, rest.against], [150, 180, ["near wall"]]);
});

test("a piece put on a wall stays between its corners and has its back to it", () => {
  const rest = atWall(box(500, 300), walls[1], 1990, 700, empty, 80);

  assert.deepEqual([rest.x, rest.y, rest.turn, rest.base], [2850, 1750, 270, 700]);
});

test("kit that hangs keeps its usual height when it is held near it; kit that stands keeps the floor", () => {
  assert.equal(baseAt(box(500, 300, { base: 1200, height: 700, onWall: true }), 1600, 80), 1200);
  assert.equal(baseAt(box(500, 300, { base: 1200, height: 700, onWall: true }), 1203, 80), 855);
  assert.equal(baseAt(box(500, 300), 1203, 80), 0);
});

const lengths = (rest) => rest.equal.map(([a, b]) => Math.round(Math.hypot(b[0] - a[0], b[1] - a[1])));

test("between two neighbours it is caught with equal gaps, and just outside the reach it is not", () => {
  const others = [standing("tank", 200, 1700, 700, 2000), standing("pump", 2000, 1700, 2500, 2000)];
  const caught = snap(box(500, 300), { x: 1390, y: 1840, turn: 0 }, { walls, others }, near);
  const missed = snap(box(500, 300), { x: 1435, y: 1840, turn: 0 }, { walls, others }, near);

  // 2,000 - 700 leaves 1,300; less 500 it is 800, 400 on each side: 700 + 400 + 250
  assert.deepEqual([caught.x, lengths(caught), caught.against], [1350, [400, 400], ["back wall"]]);
  assert.deepEqual([missed.x, missed.equal], [1435, []]);
});

test("between a neighbour and the corner the gaps are equal too", () => {
  const others = [standing("tank", 1500, 1700, 2000, 2000)];
  const rest = snap(box(500, 300), { x: 700, y: 1840, turn: 0 }, { walls, others }, near);

  assert.deepEqual([rest.x, lengths(rest)], [750, [500, 500]]);
});

test("the third of a row stands as far from the second as that does from the first, on either end", () => {
  const others = [standing("first", 1000, 1700, 1400, 2000), standing("second", 1550, 1700, 1950, 2000)];
  const after = snap(box(500, 300), { x: 2380, y: 1840, turn: 0 }, { walls, others }, near);
  const before = snap(box(500, 300), { x: 620, y: 1840, turn: 0 }, { walls, others }, near);

  // 1,550 - 1,400 = 150: 1,950 + 150 + 250, and 1,000 - 150 - 250
  assert.deepEqual([after.x, lengths(after)], [2350, [150, 150]]);
  assert.deepEqual([before.x, lengths(before)], [600, [150, 150]]);
});

test("round bodies on the floor have equal gaps between their nearest points", () => {
  const cylinder = (name, x, radius) => ({ name, points: [[x, 1000]], radius, base: 0, height: 900 });
  const others = [cylinder("small", 600, 150), cylinder("large", 2000, 250)];
  const rest = snap(round(400), { x: 1270, y: 1000, turn: 0 }, { walls, others }, near);

  // 2,000 - 250 - 600 - 150 = 1,000; less 400 it is 600, 300 on each side: 750 + 300 + 200
  assert.deepEqual([rest.x, lengths(rest)], [1250, [300, 300]]);
  assert.deepEqual(rest.equal[0], [[750, 1000], [1050, 1000]]);
});

test("equal gaps never put a piece into something", () => {
  const tight = [standing("tank", 200, 1700, 700, 2000), standing("pump", 1150, 1700, 1650, 2000)];
  const blocked = [standing("a", 300, 1700, 700, 2000), standing("b", 850, 1700, 1250, 2000), standing("c", 1800, 1700, 2300, 2000)];

  assert.deepEqual(snap(box(500, 300), { x: 930, y: 1840, turn: 0 }, { walls, others: tight }, near).equal, []);
  // 150 mm beside b it would reach to 1,900, into c; half way is 1,525, 125 mm off
  assert.deepEqual(snap(box(500, 300), { x: 1650, y: 1840, turn: 0 }, { walls, others: blocked }, near).equal, []);
});

test("half way between two bare walls is no place to be caught", () => {
  assert.deepEqual(snap(box(500, 300), { x: 1490, y: 1840, turn: 0 }, empty, near).equal, []);
});
