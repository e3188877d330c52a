import assert from "node:assert/strict";
import { test } from "node:test";
import { cross, leaders, meetsRect, routes } from "../../static/leaders.js";

const note = { x: 0, y: 100, w: 200, h: 60 };
const pin = (x, y) => ({ x, y, r: 10 });
const item = (key, rect, ...pins) => ({ key, note: rect, pins });

test("a leader is level when its pin is as high as the note", () => {
  assert.deepEqual(routes(note, pin(300, 130)), [[[206, 130], [290, 130]]]);
});

test("otherwise it has one bend and ends on the edge of the pin", () => {
  for (const way of routes(note, pin(500, 300))) {
    const [start, bend, end] = way;

    assert.equal(way.length, 3);
    assert.equal(start[1], bend[1]);
    assert.ok(Math.abs(Math.hypot(end[0] - 500, end[1] - 300) - 10) < 1e-9);
  }
});

test("a note on the right of its pin is left by its left edge", () => {
  const [[start]] = routes({ x: 400, y: 100, w: 200, h: 60 }, pin(300, 130));

  assert.deepEqual(start, [394, 130]);
});

test("a pin above or below its own note has no leader", () => {
  assert.deepEqual(routes(note, pin(100, 400)), []);
});

test("a leader that would cross one already drawn is left out", () => {
  const first = item("1", note, pin(500, 130));
  const second = item("2", { x: 300, y: 0, w: 20, h: 20 }, pin(340, 300));
  const other = item("3", { x: 0, y: 300, w: 200, h: 60 }, pin(500, 330));

  assert.deepEqual(leaders([first, second, other], []).map((one) => one.key), ["1", "3"]);
});

test("a leader never runs through another note, the label or the inset", () => {
  const label = { x: 240, y: 110, w: 40, h: 40 };

  assert.deepEqual(leaders([item("1", note, pin(500, 130))], [label]), []);
});

test("the leader of the picked note is drawn always", () => {
  const label = { x: 240, y: 110, w: 40, h: 40 };

  assert.equal(leaders([{ ...item("1", note, pin(500, 130)), always: true }], [label]).length, 1);
});

test("lines that only touch count as crossing, lines apart do not", () => {
  assert.ok(cross([[0, 0], [10, 0]], [[5, 0], [5, 9]]));
  assert.ok(cross([[0, 0], [10, 0]], [[5, 0], [20, 0]]));
  assert.ok(!cross([[0, 0], [10, 0]], [[11, 0], [20, 0]]));
  assert.ok(!cross([[0, 0], [10, 0]], [[0, 1], [10, 1]]));
});

test("a line through a rectangle meets it even with both ends outside", () => {
  assert.ok(meetsRect([[-5, 5], [20, 5]], { x: 0, y: 0, w: 10, h: 10 }));
  assert.ok(!meetsRect([[-5, 15], [20, 15]], { x: 0, y: 0, w: 10, h: 10 }));
});

test("a leader never runs through the pin of another note, but ends at its own", () => {
  const pins = [{ key: "2", x: 240, y: 120, w: 20, h: 20 }, { key: "1", x: 490, y: 120, w: 20, h: 20 }];

  assert.deepEqual(leaders([item("1", note, pin(500, 130))], pins), []);
  assert.equal(leaders([item("1", note, pin(500, 130))], pins.slice(1)).length, 1);
});
