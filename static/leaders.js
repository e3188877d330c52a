// The lines from notes to pins. Pure: rectangles are {x, y, w, h}, points [x, y], all in px of the workbench.
// A leader leaves the note level; at the height of its pin if it can, else with one bend. One that would cross a
// leader already drawn, a note, the label, the inset or the pin of another note is left out: the number is enough.

const STUB = 24;
const TITLE_DROP = 12;

/**
 * Leaders for the items in order (the picked one first, then worst first): {key, points} for those that fit and are no
 * longer than `longest`. An obstacle with a key is none for its own item.
 */
export function leaders(items, obstacles, longest = Infinity) {
  const drawn = [];
  for (const item of items) {
    const others = [
      ...obstacles.filter((one) => one.key !== item.key),
      ...items.filter((one) => one !== item).map((one) => one.note),
    ];
    const ways = item.pins.flatMap((pin) => routes(item.note, pin)).sort((a, b) => lengthOf(a) - lengthOf(b));
    const free = ways.find((points) => lengthOf(points) <= longest && !blocked(points, others, drawn));
    const points = free ?? (item.always ? ways[0] : null);
    if (points) drawn.push({ key: item.key, points });
  }
  return drawn;
}

/** The ways from a note to a pin, the best first. */
export function routes(note, pin) {
  const right = pin.x > note.x + note.w;
  const left = pin.x < note.x;
  if (!left && !right) return [];
  const side = right ? 1 : -1;
  const start = right ? note.x + note.w + 6 : note.x - 6;
  const edge = (from) => toEdge(from, pin);
  if (pin.y >= note.y + 4 && pin.y <= note.y + note.h - 4) return [[[start, pin.y], [pin.x - side * pin.r, pin.y]]];
  const level = note.y + TITLE_DROP;
  const bends = [start + side * STUB, pin.x - side * Math.abs(pin.y - level), pin.x];
  return bends
    .filter((x) => (x - start) * side >= 0 && (pin.x - x) * side >= 0)
    .map((x) => [[start, level], [x, level], edge([x, level])]);
}

function toEdge(from, pin) {
  const [dx, dy] = [from[0] - pin.x, from[1] - pin.y];
  const length = Math.hypot(dx, dy) || 1;
  return [pin.x + (dx / length) * pin.r, pin.y + (dy / length) * pin.r];
}

function blocked(points, rects, drawn) {
  const parts = pairs(points);
  return parts.some((part) => rects.some((rect) => meetsRect(part, rect)))
    || drawn.some((other) => pairs(other.points).some((line) => parts.some((part) => cross(part, line))));
}

const lengthOf = (points) => pairs(points).reduce((sum, [a, b]) => sum + Math.hypot(b[0] - a[0], b[1] - a[1]), 0);
const pairs = (points) => points.slice(1).map((point, i) => [points[i], point]);

export function meetsRect([a, b], { x, y, w, h }) {
  const inside = ([px, py]) => px > x && px < x + w && py > y && py < y + h;
  if (inside(a) || inside(b)) return true;
  const corners = [[x, y], [x + w, y], [x + w, y + h], [x, y + h]];
  return corners.some((corner, i) => cross([a, b], [corner, corners[(i + 1) % 4]]));
}

/** Whether two pieces of line cross or touch. */
export function cross([a, b], [c, d]) {
  const turn = (o, p, q) => Math.sign((p[0] - o[0]) * (q[1] - o[1]) - (p[1] - o[1]) * (q[0] - o[0]));
  if (turn(a, b, c) !== turn(a, b, d) && turn(c, d, a) !== turn(c, d, b)) return true;
  const on = (o, p, q) => turn(o, p, q) === 0
    && q[0] >= Math.min(o[0], p[0]) && q[0] <= Math.max(o[0], p[0])
    && q[1] >= Math.min(o[1], p[1]) && q[1] <= Math.max(o[1], p[1]);
  return on(a, b, c) || on(a, b, d) || on(c, d, a) || on(c, d, b);
}
