import assert from "node:assert/strict";
import { test } from "node:test";
import { distance, matches, meant } from "../../static/search.js";

const shelf = [
  { name: "Wall boiler, system, 18-30 kW", group: "boilers" },
  { name: "Unvented cylinder, indirect, 210 L", group: "hot water" },
  { name: "Expansion vessel, 18 L", group: "expansion vessels" },
];
const found = (typed) => shelf.filter((item) => matches(item, typed)).map((item) => item.name.split(",")[0]);

test("nothing typed shows all", () => {
  assert.equal(found("").length, 3);
});

test("the beginning of a word is enough, in any order and case", () => {
  assert.deepEqual(found("CYL 210"), ["Unvented cylinder"]);
  assert.deepEqual(found("210 unv"), ["Unvented cylinder"]);
});

test("a group finds its kinds", () => {
  assert.deepEqual(found("hot water"), ["Unvented cylinder"]);
});

test("what is not on the shelf is not found, and what was meant is offered", () => {
  assert.deepEqual(found("boilr"), []);
  assert.equal(meant(shelf, "boilr"), "boiler");
  assert.equal(meant(shelf, "vesesl"), "vessel");
  assert.equal(meant(shelf, "zzzzzz"), null);
});

test("the distance of words counts letters changed, added, left out and swapped", () => {
  assert.deepEqual([distance("boiler", "boiler"), distance("boilr", "boiler"), distance("obiler", "boiler")], [0, 1, 1]);
});
