// The free lengths beside the piece that moves: a fine line with its measure, drawn at once, without asking the server.
import { apply } from "./coordinates.js";
import { faceGaps } from "./heights.js";
import { gaps, measured } from "./snap.js";

const SVG = "http://www.w3.org/2000/svg";
const LEAST_PX = 3;
const PHRASE_PX = 13;

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
  const onPlan = room.plan ? sheet(room.plan, gaps(piece, place, surroundings), equal) : [];
  const face = room.faces.find((one) => one.edge === edge);
  group.replaceChildren(...onPlan, ...(face ? onFace(room, face, piece, place, surroundings, equal) : []));
}

function onFace(room, { edge, matrix, tops }, piece, place, { others }, equal) {
  const wall = room.walls[edge];
  const height = place.base + (piece.below ?? 0) + piece.height / 2;
  const along = equal.map((line) => line.map((point) => [wall.length - measured(wall, point)[0], height]));
  return sheet(matrix, faceGaps(piece, place, wall, tops, others), along);
}

/** Lines with their measures, and the phrase beside the first of two equal ones. */
function sheet(matrix, free, equal) {
  const lines = equal.map(([from, to]) => ({ mm: Math.round(Math.hypot(to[0] - from[0], to[1] - from[1])), from, to }));
  const others = free.filter((one) => !lines.some((line) => sameLine(one, line)));
  return [...others, ...lines].flatMap((one) => drawn(matrix, one)).concat(lines.length ? [phrase(matrix, lines[0])] : []);
}

const near = (a, b) => Math.hypot(a[0] - b[0], a[1] - b[1]) < 1;
const sameLine = (a, b) => (near(a.from, b.from) && near(a.to, b.to)) || (near(a.from, b.to) && near(a.to, b.from));

const middleOf = (matrix, { from, to }) => apply(matrix, [(from[0] + to[0]) / 2, (from[1] + to[1]) / 2]);

function phrase(matrix, line) {
  const [x, y] = middleOf(matrix, line);
  return element("text", { class: "dd halo equal", x, y: y - PHRASE_PX, "text-anchor": "middle" }, equalWords(line.mm));
}

/** What is said and written of two equal gaps. */
export const equalWords = (mm) => `equal gaps ${mm.toLocaleString("en-GB")} mm`;

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
