import assert from "node:assert/strict";
import { test } from "node:test";
import { freeCorner, nearestPlace, overlaps, placeNotes } from "../../static/notes.js";

const stage = { x: 0, y: 0, w: 800, h: 700 };
const cross = [{ x: 250, y: 0, w: 300, h: 700 }, { x: 0, y: 250, w: 800, h: 200 }];
const note = (key, y, more = {}) => ({ key, size: { w: 200, h: 80 }, targets: [{ x: 300, y }], ...more });

test("the corners of a cross are free up to its arms", () => {
  assert.deepEqual(freeCorner(stage, cross, "tl", 10), { x: 0, y: 0, w: 240, h: 240 });
  assert.deepEqual(freeCorner(stage, cross, "br", 10), { x: 560, y: 460, w: 240, h: 240 });
});

test("with nothing drawn the whole stage is free, with all of it drawn nothing is", () => {
  assert.deepEqual(freeCorner(stage, [], "tl"), { ...stage });
  assert.equal(freeCorner(stage, [stage], "tl").h, 0);
});

test("a note stands level with its pin where there is room", () => {
  const rect = nearestPlace({ w: 200, h: 80 }, [{ x: 0, y: 0, w: 240, h: 700 }], [], [{ x: 300, y: 350 }]);

  assert.deepEqual(rect, { x: 0, y: 310, w: 200, h: 80 });
});

test("a note too wide for an area goes to another", () => {
  const rect = nearestPlace({ w: 200, h: 80 }, [{ x: 0, y: 0, w: 150, h: 700 }, { x: 500, y: 0, w: 200, h: 90 }], [], [{ x: 0, y: 0 }]);

  assert.equal(rect.x, 500);
});

test("notes never overlap, and what finds no place is left over", () => {
  const areas = [{ x: 0, y: 0, w: 240, h: 240 }];
  const placed = placeNotes([note("a", 100), note("b", 110), note("c", 120), note("d", 130)], areas, []);
  const rects = [...placed.values()];

  assert.deepEqual([...placed.keys()], ["a", "b"]);
  assert.ok(!overlaps(rects[0], rects[1]));
});

test("a note keeps clear of the label", () => {
  const label = { x: 0, y: 0, w: 240, h: 150 };
  const placed = placeNotes([note("a", 0)], [{ x: 0, y: 0, w: 240, h: 300 }], [label]);

  assert.ok(!overlaps(placed.get("a"), label));
});

test("a note keeps its place while its pin moves", () => {
  const areas = [{ x: 0, y: 0, w: 240, h: 600 }];
  const first = placeNotes([note("a", 100)], areas, []);
  const second = placeNotes([note("new", 100), note("a", 400)], areas, [], first);

  assert.deepEqual(second.get("a"), first.get("a"));
  assert.ok(!overlaps(second.get("a"), second.get("new")));
});

test("a note goes beside the nearer of its two pins", () => {
  const areas = [{ x: 0, y: 0, w: 200, h: 700 }, { x: 600, y: 0, w: 200, h: 700 }];
  const rect = nearestPlace({ w: 200, h: 80 }, areas, [], [{ x: 400, y: 100 }, { x: 590, y: 500 }]);

  assert.deepEqual([rect.x, rect.y], [600, 460]);
});

test("a note whose pin is far from every free place is left to the list", () => {
  const areas = [{ x: 0, y: 0, w: 240, h: 240 }];

  assert.equal(placeNotes([note("a", 600)], areas, [], new Map(), 240).size, 0);
  assert.equal(placeNotes([note("a", 300)], areas, [], new Map(), 240).size, 1);
});
