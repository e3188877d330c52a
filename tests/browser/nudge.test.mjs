import assert from "node:assert/strict";
import { test } from "node:test";
import { deedOf, pageDeedOf } from "../../static/nudge.js";

const key = (name, more = {}) => ({ key: name, shiftKey: false, altKey: false, ctrlKey: false, metaKey: false, ...more });

for (const [more, step] of [[{}, 5], [{ shiftKey: true }, 50], [{ altKey: true }, 1]]) {
  test(`an arrow with ${JSON.stringify(more)} moves ${step} mm`, () => {
    assert.deepEqual(deedOf(key("ArrowLeft", more)), { do: "move", right: -step, down: 0 });
    assert.deepEqual(deedOf(key("ArrowDown", more)), { do: "move", right: 0, down: step });
  });

  test(`a page key with ${JSON.stringify(more)} raises or lowers ${step} mm`, () => {
    assert.deepEqual(deedOf(key("PageUp", more)), { do: "raise", mm: step });
    assert.deepEqual(deedOf(key("PageDown", more)), { do: "raise", mm: -step });
  });
}

test("R turns by a quarter, with Shift the other way", () => {
  assert.deepEqual(deedOf(key("r")), { do: "turn", degrees: 90 });
  assert.deepEqual(deedOf(key("R", { shiftKey: true })), { do: "turn", degrees: -90 });
});

test("Delete takes out, Escape puts back, Enter and the space bar pick", () => {
  assert.deepEqual(["Delete", "Escape", "Enter", " "].map((name) => deedOf(key(name)).do), ["remove", "put-back", "pick", "pick"]);
});

test("a key that means something to the browser or to nobody does nothing", () => {
  assert.equal(deedOf(key("r", { ctrlKey: true })), null);
  assert.equal(deedOf(key("Tab")), null);
});

test("Control Z undoes, with Shift or as Control Y it does again", () => {
  assert.equal(pageDeedOf(key("z", { ctrlKey: true })), "undo");
  assert.equal(pageDeedOf(key("Z", { ctrlKey: true, shiftKey: true })), "redo");
  assert.equal(pageDeedOf(key("y", { metaKey: true })), "redo");
  assert.equal(pageDeedOf(key("z")), null);
});

test("D asks for another one, Shift and the space bar pick one more", () => {
  assert.deepEqual(deedOf(key("d")), { do: "another" });
  assert.deepEqual(deedOf(key(" ", { shiftKey: true })), { do: "pick-more" });
});
