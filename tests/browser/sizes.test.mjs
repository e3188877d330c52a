import assert from "node:assert/strict";
import { test } from "node:test";
import { asked, keeps, told } from "../../static/sizes.js";

const limits = (typed) => asked(typed).limits.map(({ what, least, most, strict }) => [what, least, most, strict]);
const MOST = (what, most, strict = false) => [[what, undefined, most, strict]];
const LEAST = (what, least, strict = false) => [[what, least, undefined, strict]];

for (const [typed, wanted] of [
  ["no wider than 600", MOST("wide", 600)],
  ["not wider than 600mm", MOST("wide", 600)],
  ["no more than 600 wide", MOST("wide", 600)],
  ["at most 600 wide", MOST("wide", 600)],
  ["up to 600 mm wide", MOST("wide", 600)],
  ["under 600 deep", MOST("deep", 600, true)],
  ["depth under 600", MOST("deep", 600, true)],
  ["max depth 600", MOST("deep", 600)],
  ["maximum width 600 mm", MOST("wide", 600)],
  ["depth max 600", MOST("deep", 600)],
  ["600 max deep", MOST("deep", 600)],
  ["600 deep max", MOST("deep", 600)],
  ["600 or less", MOST("wide", 600)],
  ["narrower than 450", MOST("wide", 450, true)],
  ["lower than 1,200", MOST("high", 1200, true)],
  ["taller than 0.9 m", LEAST("high", 900, true)],
  ["over 60 cm high", LEAST("high", 600, true)],
  ["no less than 400 deep", LEAST("deep", 400)],
  ["no narrower than 400", LEAST("wide", 400)],
  ["<600 wide", MOST("wide", 600, true)],
  ["≤ 600 wide", MOST("wide", 600)],
  ["under 25 kg", MOST("kg", 25, true)],
  ["lighter than 25", MOST("kg", 25, true)],
  ["over 200 litres", LEAST("litres", 200, true)],
  ["under 600", MOST("wide", 600, true)],
  ["between 500 and 600 deep", [["deep", 500, 600, false]]],
  ["500 to 600 wide", [["wide", 500, 600, false]]],
  ["600 wide", [["wide", 590, 610, false]]],
  ["600 wide 700 deep", [["wide", 590, 610, false], ["deep", 690, 710, false]]],
  ["width 600", [["wide", 590, 610, false]]],
  ["ø550", [["round", 540, 560, false]]],
  ["550 dia", [["round", 540, 560, false]]],
  ["600 x 550 x 850", [["wide", 590, 610, false], ["deep", 540, 560, false], ["high", 840, 860, false]]],
  ["600x600", [["wide", 590, 610, false], ["deep", 590, 610, false]]],
]) {
  test(`“${typed}” is understood`, () => assert.deepEqual(limits(typed), wanted));
}

for (const typed of ["cylinder 210", "210 l", "22 mm", "under", "underfloor", "pump", "18-30 kw", "no boiler", ""]) {
  test(`“${typed}” asks for no size`, () => assert.deepEqual([asked(typed).words.replace(/ /g, ""), limits(typed)], [typed.replace(/ /g, ""), []]));
}

test("the words beside a size are left to be searched for", () => {
  assert.deepEqual([asked("cylinder no wider than 600").words, asked("under 600 deep boiler under 25 kg").words], ["cylinder", "boiler"]);
});

test("a limit holds at its own figure, but for “under” and “over”", () => {
  const boiler = { wide: 600, deep: 400, high: 800, round: null, kg: null, litres: 2 };
  const kept = (typed) => keeps(boiler, asked(typed).limits);
  assert.deepEqual([kept("no wider than 600"), kept("under 600 wide"), kept("600 wide"), kept("at least 400 deep")], [true, false, true, true]);
});

test("a size that nobody knows keeps no limit", () => {
  assert.equal(keeps({ wide: 600, kg: null }, asked("under 25 kg").limits), false);
});

test("what was understood is told in words", () => {
  assert.equal(told(asked("no wider than 1200, under 25 kg").limits), "at most 1,200 mm wide, less than 25 kg");
  assert.equal(told(asked("600 x 550").limits), "about 600 mm wide, about 550 mm deep");
  assert.equal(told(asked("between 500 and 600 deep").limits), "500 to 600 mm deep");
});
