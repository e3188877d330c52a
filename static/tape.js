// The free lengths beside the piece that moves: a fine line with its measure, drawn at once, without asking the server.
import { apply, turned } from "./coordinates.js";
import { faceGaps } from "./heights.js";
import { gaps, measured, reach } from "./snap.js";

const SVG = "http://www.w3.org/2000/svg";
const LEAST_PX = 3;
const PHRASE_PX = 14;

function element(name, attributes, words = "") {
  const made = document.createElementNS(SVG, name);
  for (const [key, value] of Object.entries(attributes)) made.setAttribute(key, value);
  made.textContent = words;
  return made;
}

/**
 * Draws the free lengths on each of the four sides of a piece at a place: on the plan, and on the face of wall `edge` if
 * one is told. `equal` are the two gaps that it was caught at, as lines in the room.
 */
export function lay(svg, room, piece, place, surroundings, equal = [], edge = null) {
  const group = svg.querySelector("#tape");
  const onPlan = room.plan ? [
    ...sheet(room.plan, gaps(piece, place, surroundings), equal),
    ...phrase(room.plan, equal, besideRow(piece, place, equal) * room.scale, room.planBox),
  ] : [];
  const face = room.faces.find((one) => one.edge === edge);
  group.replaceChildren(...onPlan, ...(face ? onFace(room, face, piece, place, surroundings, equal) : []));
}

function onFace(room, { edge, matrix, tops, box }, piece, place, { others }, equal) {
  const wall = room.walls[edge];
  const height = place.base + (piece.below ?? 0) + piece.height / 2;
  const along = equal.map((line) => line.map((point) => [wall.length - measured(wall, point)[0], height]));
  const half = (piece.height / 2) * room.scale;
  return [...sheet(matrix, faceGaps(piece, place, wall, tops, others), along), ...phrase(matrix, along, half, box)];
}

/** How far a piece reaches across the line of equal gaps that it stands on, on its longer side. */
function besideRow(piece, place, equal) {
  if (!equal.length) return 0;
  const [[x0, y0], [x1, y1]] = equal[0];
  const length = Math.hypot(x1 - x0, y1 - y0);
  const across = turned([(x1 - x0) / length, (y1 - y0) / length], 90);
  return Math.max(reach(piece, place.turn, across), reach(piece, place.turn, across.map((v) => -v)));
}

/** Lines with their measures: of two equal gaps each is drawn once. */
function sheet(matrix, free, equal) {
  const lines = equal.map(([from, to]) => ({ mm: lengthOf([from, to]), from, to }));
  const others = free.filter((one) => !lines.some((line) => sameLine(one, line)));
  return [...others, ...lines].flatMap((one) => drawn(matrix, one));
}

const near = (a, b) => Math.hypot(a[0] - b[0], a[1] - b[1]) < 1;
const sameLine = (a, b) => (near(a.from, b.from) && near(a.to, b.to)) || (near(a.from, b.to) && near(a.to, b.from));

/** The phrase beside the row, on the side where the sheet `box` has more room, clear of a piece that reaches so far. */
function phrase(matrix, equal, halfPx, box) {
  if (!equal.length) return [];
  const [a, b] = equal[0].map((point) => apply(matrix, point));
  const length = Math.hypot(b[0] - a[0], b[1] - a[1]);
  const across = [-(b[1] - a[1]) / length, (b[0] - a[0]) / length];
  const ends = equal.flat().map((point) => apply(matrix, point));
  const middle = [0, 1].map((i) => ends.reduce((sum, point) => sum + point[i], 0) / ends.length);
  const centre = [(box[0] + box[2]) / 2, (box[1] + box[3]) / 2];
  const way = Math.sign(across[0] * (centre[0] - middle[0]) + across[1] * (centre[1] - middle[1])) || 1;
  const [x, y] = middle.map((at, i) => at + way * across[i] * (halfPx + PHRASE_PX));
  const side = way * across[0];
  const anchor = Math.abs(side) < 0.7 ? "middle" : side > 0 ? "start" : "end";
  return [element("text", { class: "dd halo equal", x, y: y + 4, "text-anchor": anchor }, equalWords(equal))];
}

const lengthOf = ([from, to]) => Math.round(Math.hypot(to[0] - from[0], to[1] - from[1]));

/** What is said and written of two equal gaps, each a line. */
export const equalWords = (equal) => `equal gaps ${lengthOf(equal[0]).toLocaleString("en-GB")} mm`;

export function takeUp(svg) {
  svg?.querySelector("#tape")?.replaceChildren();
}

function drawn(matrix, { mm, from, to }) {
  const [a, b] = [apply(matrix, from), apply(matrix, to)];
  const length = Math.hypot(b[0] - a[0], b[1] - a[1]);
  if (length < LEAST_PX) return [];
  const [x, y] = [(a[0] + b[0]) / 2, (a[1] + b[1]) / 2];
  const [nx, ny] = [(-(b[1] - a[1]) / length) * 4, ((b[0] - a[0]) / length) * 4];
  const ends = [a, b].map(([ex, ey]) => `M${ex - nx},${ey - ny}L${ex + nx},${ey + ny}`).join("");
  return [
    element("path", { class: "dimline", d: `M${a}L${b}${ends}` }),
    element("text", { class: "dd halo", x, y: y + 4, "text-anchor": "middle" }, mm.toLocaleString("en-GB")),
  ];
}
