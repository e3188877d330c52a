// A piece on the plan, its name, its spaces and its twins on the faces, put at a place before the server has drawn it.
import { apply } from "./coordinates.js";
import { measured } from "./snap.js";

const all = (svg, name, id) => svg.querySelectorAll(`[data-${name}="${CSS.escape(id)}"]`);
const translate = ([x, y]) => `translate(${x.toFixed(2)},${y.toFixed(2)})`;

/** Shows a piece at {x, y, turn, base}; `piece` is where the layout has it. */
export function show(svg, room, piece, place) {
  const turn = place.turn - piece.turn;
  if (room.plan) {
    const at = translate(apply(room.plan, [place.x, place.y]));
    for (const part of [...all(svg, "piece", piece.id), ...all(svg, "with", piece.id)]) {
      const level = part.querySelector("text");
      part.setAttribute("transform", turn && !level ? `${at} rotate(${-turn})` : at);
    }
  }
  for (const part of [...all(svg, "face-piece", piece.id), ...all(svg, "face-with", piece.id)]) {
    const edge = Number(part.dataset.edge);
    const face = room.faces.find((one) => one.edge === edge);
    if (face) part.setAttribute("transform", translate(apply(face.matrix, onFace(room.walls[edge], place))));
  }
  const away = place.x !== piece.x || place.y !== piece.y || turn !== 0 || place.base !== piece.base;
  for (const lines of svg.querySelectorAll("[data-projectors]")) lines.classList.toggle("away", away);
}

/** (from the left corner as seen from inside, above finished floor) of a place. */
export function onFace(wall, place) {
  const [along] = measured(wall, [place.x, place.y]);
  return [wall.length - along, place.base];
}

/** Marks pieces as picked, on the plan and on its faces. */
export function mark(svg, ids) {
  for (const part of svg.querySelectorAll("[data-piece], [data-face-piece]")) {
    part.classList.toggle("picked", ids.includes(part.dataset.piece ?? part.dataset.facePiece));
  }
}
