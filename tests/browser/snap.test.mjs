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
