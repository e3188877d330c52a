// A hand on a wall face: how far along the wall and how high it is, and what that means for a piece.
import { apply, inDrawing, inverse } from "./coordinates.js";
import { drawing, handles } from "./page.js";
import { measured } from "./snap.js";

/** The wall face under an event, with (along the wall, above finished floor) in mm; null where there is none. */
export function faceAt(event) {
  const at = inDrawing(drawing(), event);
  const face = handles().faces.find(({ box: [x0, y0, x1, y1] }) => at[0] >= x0 && at[0] <= x1 && at[1] >= y0 && at[1] <= y1);
  return face ? onFaceOf(face.edge, event) : null;
}

/** The same on the face of a certain wall, however far beyond its edge. */
export function onFaceOf(edge, event) {
  const { faces, walls } = handles();
  const face = faces.find((one) => one.edge === edge);
  if (!face) return null;
  const [left, height] = apply(inverse(face.matrix), inDrawing(drawing(), event));
  return { wall: walls[edge], along: walls[edge].length - left, height };
}

/** How far along a wall a place is. */
export const alongOf = (wall, place) => measured(wall, [place.x, place.y])[0];
