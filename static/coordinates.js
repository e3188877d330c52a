// Screen, drawing and room. The drawing is in px of its own svg; the room in mm, x right, y away, angles anticlockwise.
// A matrix is [a, b, c, d, e, f] as in SVG: x' = a x + c y + e, y' = b x + d y + f.

export function apply([a, b, c, d, e, f], [x, y]) {
  return [a * x + c * y + e, b * x + d * y + f];
}

/** The matrix without its shift: for directions and moves. */
export function swept([a, b, c, d], [x, y]) {
  return [a * x + c * y, b * x + d * y];
}

export function inverse([a, b, c, d, e, f]) {
  const size = a * d - b * c;
  return [d / size, -b / size, -c / size, a / size, (c * f - d * e) / size, (b * e - a * f) / size];
}

/** A point turned anticlockwise about the origin of the room; exact at quarter turns. */
export function turned([x, y], degrees) {
  const quarters = ((degrees % 360) + 360) % 360 / 90;
  if (Number.isInteger(quarters)) return [[x, y], [-y, x], [-x, -y], [y, -x]][quarters].map((v) => v + 0);
  const angle = (degrees * Math.PI) / 180;
  return [Math.cos(angle) * x - Math.sin(angle) * y, Math.sin(angle) * x + Math.cos(angle) * y];
}

export const dot = ([ax, ay], [bx, by]) => ax * bx + ay * by;

/** Where an event is, in px of the drawing. The only place that reads the screen matrix. */
export function inDrawing(svg, event) {
  const at = new DOMPoint(event.clientX, event.clientY).matrixTransform(svg.getScreenCTM().inverse());
  return [at.x, at.y];
}
