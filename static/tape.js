// The free lengths beside the piece that moves: a fine line with its measure, drawn at once, without asking the server.
import { apply } from "./coordinates.js";
import { gaps } from "./snap.js";

const SVG = "http://www.w3.org/2000/svg";
const LEAST_PX = 3;

function element(name, attributes, words = "") {
  const made = document.createElementNS(SVG, name);
  for (const [key, value] of Object.entries(attributes)) made.setAttribute(key, value);
  made.textContent = words;
  return made;
}

/** Draws the free lengths on each of the four sides of a piece at a place. */
export function lay(svg, room, piece, place, surroundings) {
  const group = svg.querySelector("#tape");
  if (!room.plan) return group.replaceChildren();
  group.replaceChildren(...gaps(piece, place, surroundings).flatMap((gap) => drawn(room, gap)));
}

export function takeUp(svg) {
  svg?.querySelector("#tape")?.replaceChildren();
}

function drawn(room, { mm, from, to }) {
  const [a, b] = [apply(room.plan, from), apply(room.plan, to)];
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
