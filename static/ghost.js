// A kind that has no place yet, in outline: on the plan, and on the face of the wall it would hang on or stand against.
import { apply, swept } from "./coordinates.js";
import { onFace } from "./moving.js";
import { reach, restsOn } from "./snap.js";

const SVG = "http://www.w3.org/2000/svg";

/** Draws it at a place, in the place of the outline that was drawn before. */
export function ghost(svg, room, kind, place) {
  let shape = svg.querySelector("#lifted");
  if (!shape) {
    shape = document.createElementNS(SVG, "path");
    shape.id = "lifted";
    shape.setAttribute("class", "k lifted");
    svg.append(shape);
  }
  shape.setAttribute("d", [room.plan ? fromAbove(room, kind, place) : "", ...inFront(room, kind, place)].join(""));
}

function fromAbove({ plan, scale }, kind, place) {
  const [x, y] = apply(plan, [place.x, place.y]);
  const round = kind.radius * scale;
  if (round) return `M${x - round},${y}a${round},${round} 0 1 1 ${2 * round},0a${round},${round} 0 1 1 ${-2 * round},0Z`;
  const angle = (place.turn * Math.PI) / 180;
  const turn = [Math.cos(angle), Math.sin(angle), -Math.sin(angle), Math.cos(angle), 0, 0];
  return ring(kind.points.map((point) => swept(plan, swept(turn, point))).map(([px, py]) => [x + px, y + py]));
}

function inFront({ faces, walls }, kind, place) {
  const against = restsOn(kind, place, walls);
  return faces.filter(({ edge }) => against.includes(walls[edge].name)).map(({ edge, matrix }) => {
    const wall = walls[edge];
    const [left, base] = onFace(wall, place);
    const [less, more] = [-reach(kind, place.turn, [wall.ux, wall.uy]), reach(kind, place.turn, [-wall.ux, -wall.uy])];
    const corners = [[less, 0], [more, 0], [more, kind.height], [less, kind.height]];
    return ring(corners.map(([x, z]) => apply(matrix, [left + x, base + z])));
  });
}

const ring = (points) => `M${points.map((point) => point.map((v) => v.toFixed(1))).join("L")}Z`;
