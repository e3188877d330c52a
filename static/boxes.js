// Boxes in px of the drawing, [x0, y0, x1, y1]. Pure. A piece is {points, radius, base, height} with its plan in the room.
import { apply } from "./coordinates.js";
import { span } from "./snap.js";

/** The box round some points. */
export function boxOf(points) {
  const [xs, ys] = [0, 1].map((axis) => points.map((point) => point[axis]));
  return [Math.min(...xs), Math.min(...ys), Math.max(...xs), Math.max(...ys)];
}

/** The box of a piece on the plan. */
export function boxOnPlan({ points, radius }, plan, scale) {
  const [x0, y0, x1, y1] = boxOf(points.map((point) => apply(plan, point)));
  const more = radius * scale;
  return [x0 - more, y0 - more, x1 + more, y1 + more];
}

/** The box of a piece on the face of a wall, whose matrix takes (from its left corner, above floor) to px. */
export function boxOnFace(piece, wall, matrix) {
  const [from, to] = span(piece, [wall.ux, wall.uy], [wall.x, wall.y]);
  const corners = [[wall.length - to, piece.base], [wall.length - from, piece.base + piece.height]];
  return boxOf(corners.map((corner) => apply(matrix, corner)));
}

/** Whether a box lies wholly inside another. */
export const isInside = ([x0, y0, x1, y1], [a0, b0, a1, b1]) => x0 >= a0 && y0 >= b0 && x1 <= a1 && y1 <= b1;

/** How far the middle of a box is from a point. */
export const farFrom = ([x, y], [x0, y0, x1, y1]) => Math.hypot((x0 + x1) / 2 - x, (y0 + y1) / 2 - y);
