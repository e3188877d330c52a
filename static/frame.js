// A frame drawn with the mouse on empty paper: the pieces that lie wholly inside it are picked.
import { boxOf, boxOnFace, boxOnPlan, farFrom, isInside } from "./boxes.js";
import { inDrawing } from "./coordinates.js";
import { drawing, handles, inRoom } from "./page.js";

const SVG = "http://www.w3.org/2000/svg";

let drawn = null;

/** Draws the frame from where the hand began, in px of the drawing, to where it is. */
export function drawFrame(from, event) {
  const [x0, y0, x1, y1] = boxOf([from, inDrawing(drawing(), event)]);
  drawn ??= document.createElementNS(SVG, "rect");
  const sizes = { class: "frame", x: x0, y: y0, width: x1 - x0, height: y1 - y0 };
  for (const [name, value] of Object.entries(sizes)) drawn.setAttribute(name, value);
  if (!drawn.isConnected) drawing().append(drawn);
  document.body.classList.add("framing");
}

export function rubOut() {
  drawn?.remove();
  drawn = null;
  document.body.classList.remove("framing");
}

/** The ids of the pieces that are seen wholly inside the frame, on the plan or on a wall: from where it began onwards. */
export function framed(from, event) {
  const frame = boxOf([from, inDrawing(drawing(), event)]);
  const inside = handles().pieces.flatMap((piece) => {
    const box = seen(piece).find((one) => isInside(one, frame));
    return box ? [{ id: piece.id, far: farFrom(from, box) }] : [];
  });
  return inside.sort((a, b) => a.far - b.far).map(({ id }) => id);
}

/** Where a piece is seen on the drawing: on the plan, and on each wall that shows it. */
function seen(piece) {
  const { plan, scale, faces, walls } = handles();
  const here = inRoom(piece);
  const parts = [...drawing().querySelectorAll(`[data-face-piece="${CSS.escape(piece.id)}"]`)];
  const edges = parts.map((part) => Number(part.dataset.edge));
  const shown = faces.filter((face) => edges.includes(face.edge));
  const onFaces = shown.map((face) => boxOnFace(here, walls[face.edge], face.matrix));
  return plan ? [boxOnPlan(here, plan, scale), ...onFaces] : onFaces;
}
