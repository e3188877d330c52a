// Sizes in a search, as a fitter types them: "no wider than 600", "under 600 deep", "600 wide", "550 to 600 high", "ø 550".
// Pure: what was typed in; the words that are left, the limits that were meant, and those limits in words out.

const NEAR_MM = 10;
/** "600 wide" is a size as people call it: what measures 595 is meant too. */
const UNITS = { mm: 1, cm: 10, m: 1000, millimetres: 1, millimeters: 1, metres: 1000 };
const NAMES = {
  wide: ["wide", "width", "across"],
  deep: ["deep", "depth"],
  high: ["high", "height", "tall"],
  round: ["diameter", "dia", "ø", "round"],
  kg: ["kg", "kilos", "kilo", "heavy", "weight"],
  litres: ["l", "litre", "litres", "ltr"],
};
const DIMENSION = Object.fromEntries(Object.entries(NAMES).flatMap(([key, all]) => all.map((word) => [word, key])));
/** Each comparison: which measure it is about (none: any), and whether it sets the most or the least. */
const COMPARED = {
  wider: ["wide", "least"], narrower: ["wide", "most"], slimmer: ["wide", "most"],
  deeper: ["deep", "least"], shallower: ["deep", "most"],
  higher: ["high", "least"], taller: ["high", "least"], lower: ["high", "most"], shorter: ["high", "most"],
  heavier: ["kg", "least"], lighter: ["kg", "most"],
  more: [null, "least"], larger: [null, "least"], bigger: [null, "least"], less: [null, "most"], smaller: [null, "most"],
};
const PLAIN = {
  under: ["most", true], below: ["most", true], over: ["least", true], above: ["least", true], within: ["most", false],
  max: ["most", false], maximum: ["most", false], min: ["least", false], minimum: ["least", false],
  "<": ["most", true], ">": ["least", true], "<=": ["most", false], ">=": ["least", false], "≤": ["most", false], "≥": ["least", false],
};
const OTHER = { most: "least", least: "most" };
const BY = new Set(["x", "×", "by"]);
const TO = new Set(["to", "and", "-", "–"]);

const tokens = (typed) => typed.toLowerCase().match(/\d[\d,]*(?:\.\d+)?|[<>]=?|[≤≥×ø–-]|[^\s\d<>≤≥×ø–-]+/gu) ?? [];
const isNumber = (token) => token !== undefined && /^\d/.test(token);

/** A figure with its unit at a place: how large, of which measure its unit is, and where it goes on. */
function figure(all, at) {
  if (!isNumber(all[at])) return null;
  const value = Number(all[at].replace(/,/g, ""));
  const unit = all[at + 1];
  if (unit in UNITS) return { value: value * UNITS[unit], what: null, next: at + 2 };
  if (DIMENSION[unit] === "kg" || DIMENSION[unit] === "litres") return { value, what: DIMENSION[unit], next: at + 2 };
  return { value, what: null, next: at + 1 };
}

/** "no wider than", "at most", "up to", "under": what it compares, which end it sets, where it goes on. */
function comparison(all, at) {
  const not = all[at] === "no" || all[at] === "not";
  const here = at + Number(not);
  const turn = (sense) => (not ? OTHER[sense] : sense);
  if (all[here] in COMPARED && all[here + 1] === "than") {
    const [what, sense] = COMPARED[all[here]];
    return { what, sense: turn(sense), strict: !not, next: here + 2 };
  }
  if (all[here] === "at" && (all[here + 1] === "most" || all[here + 1] === "least")) {
    return { what: null, sense: turn(all[here + 1]), strict: not, next: here + 2 };
  }
  if (all[here] === "up" && all[here + 1] === "to") return { what: null, sense: turn("most"), strict: not, next: here + 2 };
  if (!(all[here] in PLAIN)) return null;
  const [sense, strict] = PLAIN[all[here]];
  return { what: null, sense: turn(sense), strict: strict && !not, next: here + 1 };
}

/** "or less", "or more", "max", "min" after a figure. */
function afterwards(all, at) {
  if (all[at] === "or" && all[at + 1] in { less: 1, under: 1, smaller: 1, narrower: 1 }) return { sense: "most", next: at + 2 };
  if (all[at] === "or" && all[at + 1] in { more: 1, over: 1, larger: 1, wider: 1 }) return { sense: "least", next: at + 2 };
  if (all[at] === "max" || all[at] === "maximum") return { sense: "most", next: at + 1 };
  if (all[at] === "min" || all[at] === "minimum") return { sense: "least", next: at + 1 };
  return null;
}

const limit = (what, sense, value, strict = false) => ({ what, [sense]: value, strict });
const about = (what, value) => ({ what, least: value - NEAR_MM, most: value + NEAR_MM, about: value, strict: false });
const named = (all, at) => (all[at] in DIMENSION ? { what: DIMENSION[all[at]], next: at + 1 } : { what: null, next: at });

/** "between 500 and 600 wide", "500 to 600 wide". */
function span(all, at) {
  const between = all[at] === "between";
  const low = figure(all, at + Number(between));
  const high = low && TO.has(all[low.next]) ? figure(all, low.next + 1) : null;
  if (!high) return null;
  const name = named(all, high.next);
  const what = name.what ?? high.what ?? (between ? "wide" : null);
  return what && { limits: [{ what, least: low.value, most: high.value, strict: false }], next: name.next };
}

/** "no wider than 600", "depth under 500", "max depth 600", "under 600 mm deep". */
function compared(all, at) {
  const first = named(all, at);
  const how = comparison(all, first.next);
  const before = how && first.what === null ? named(all, how.next) : first;
  const size = how && figure(all, first.what === null ? before.next : how.next);
  if (!size) return null;
  const after = named(all, size.next);
  const what = how.what ?? before.what ?? size.what ?? after.what ?? "wide";
  const own = after.what === what || size.what !== null || (how.what === null && before.what === null);
  return { limits: [limit(what, how.sense, size.value, how.strict)], next: own ? after.next : size.next };
}

/** "600 x 550 x 850": as wide, as deep and as high. */
function box(all, at) {
  const sizes = [];
  let here = at;
  for (let size = figure(all, here); size && sizes.length < 3; size = figure(all, here)) {
    sizes.push(size.value);
    here = size.next;
    if (!BY.has(all[here]) || !isNumber(all[here + 1])) break;
    here += 1;
  }
  if (sizes.length < 2) return null;
  return { limits: sizes.map((size, i) => about(["wide", "deep", "high"][i], size)), next: here };
}

/** "600 wide", "600 or less", "600 max deep", "width 600", "ø 550". */
function plain(all, at) {
  const before = named(all, at);
  const size = figure(all, before.next);
  if (!size) return null;
  const first = afterwards(all, size.next);
  const after = named(all, first?.next ?? size.next);
  const last = first ?? afterwards(all, after.next);
  const what = after.what ?? before.what ?? size.what ?? (last ? "wide" : null);
  if (!what || (!last && size.what)) return null;
  const next = first || !last ? after.next : last.next;
  if (last) return { limits: [limit(what, last.sense, size.value)], next };
  return ["kg", "litres"].includes(what) ? null : { limits: [about(what, size.value)], next };
}

/** What a search asks for: the words that are left over, and the limits. */
export function asked(typed) {
  const all = tokens(typed);
  const words = [];
  const limits = [];
  for (let at = 0; at < all.length;) {
    const found = span(all, at) ?? compared(all, at) ?? box(all, at) ?? plain(all, at);
    if (found) limits.push(...found.limits);
    else words.push(all[at]);
    at = found?.next ?? at + 1;
  }
  return { words: words.join(" "), limits };
}

/** Whether a kind keeps every limit. A size that it has not got, or that nobody knows, keeps none. */
export function keeps(sizes, limits) {
  return limits.every(({ what, least = -Infinity, most = Infinity, strict }) => {
    const size = sizes[what];
    if (size === null || size === undefined) return false;
    return strict ? size > least && size < most : size >= least && size <= most;
  });
}

const ENDS = {
  wide: ["wide", "wider"], deep: ["deep", "deeper"], high: ["high", "higher"], round: ["in diameter", "in diameter"],
  kg: ["", "heavier"], litres: ["", ""],
};
const UNIT = { kg: "kg", litres: "L" };

/** The limits as they were understood, in words. */
export function told(limits) {
  return limits.map(({ what, least, most, about: size, strict }) => {
    const unit = UNIT[what] ?? "mm";
    const write = (value) => `${value.toLocaleString("en-GB")} ${unit}${ENDS[what][0] && ` ${ENDS[what][0]}`}`;
    if (size !== undefined) return `about ${write(size)}`;
    if (least !== undefined && most !== undefined) return `${least.toLocaleString("en-GB")} to ${write(most)}`;
    if (most !== undefined) return `${strict ? "less than" : "at most"} ${write(most)}`;
    return `${strict ? "more than" : "at least"} ${write(least)}`;
  }).join(", ");
}
