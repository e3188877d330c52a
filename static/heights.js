// The free lengths beside a piece on the face of a wall. Pure. Points are [from the left corner as seen from inside, above
// finished floor] in mm; the upper end of the wall is a row of straight lines [[left, height], [left, height]].
import { inward, measured, reach, span, TOUCH_MM } from "./snap.js";

/** The rectangle [left, right, low, high] that a piece takes up on a face. */
function rectOf(piece, place, wall) {
  const left = wall.length - measured(wall, [place.x, place.y])[0];
  const low = place.base + (piece.below ?? 0);
  const [less, more] = [reach(piece, place.turn, [wall.ux, wall.uy]), reach(piece, place.turn, [-wall.ux, -wall.uy])];
  return [left - less, left + more, low, low + piece.height];
}

/** The rectangles of what stands or hangs as near to the wall as the piece does. */
function others(piece, place, wall, every) {
  const into = inward(wall);
  const off = measured(wall, [place.x, place.y])[1];
  const [near, far] = [off - reach(piece, place.turn, into.map((v) => -v)), off + reach(piece, place.turn, into)];
  return every
    .filter((other) => {
      const [from, to] = span(other, into, [wall.x, wall.y]);
      return Math.min(to, far) - Math.max(from, near) > TOUCH_MM;
    })
    .map((other) => {
      const [from, to] = span(other, [wall.ux, wall.uy], [wall.x, wall.y]);
      return [wall.length - to, wall.length - from, other.base, other.base + other.height];
    });
}

/** Left, right, down to the floor or what stands below, up to the ceiling or what hangs above: each {mm, from, to}. */
export function faceGaps(piece, place, wall, tops, every) {
  const [left, right, low, high] = rectOf(piece, place, wall);
  const found = others(piece, place, wall, every);
  const level = found.filter((one) => Math.min(one[3], high) - Math.max(one[2], low) > TOUCH_MM);
  const column = found.filter((one) => Math.min(one[1], right) - Math.max(one[0], left) > TOUCH_MM);
  const [x, z] = [(left + right) / 2, (low + high) / 2];
  const toLeft = Math.max(0, ...level.map((one) => one[1]).filter((at) => at <= left + TOUCH_MM));
  const toRight = Math.min(wall.length, ...level.map((one) => one[0]).filter((at) => at >= right - TOUCH_MM));
  const down = Math.max(0, ...column.map((one) => one[3]).filter((at) => at <= low + TOUCH_MM));
  const hung = Math.min(...column.map((one) => one[2]).filter((at) => at >= high - TOUCH_MM));
  const [over, ceiling] = lowest(tops, x, left, right);
  const up = Math.min(hung, ceiling);
  return [
    gap([left, z], [toLeft, z]), gap([right, z], [toRight, z]), gap([x, low], [x, down]),
    ...(Number.isFinite(up) ? [gap([hung <= ceiling ? x : over, high], [hung <= ceiling ? x : over, up])] : []),
  ];
}

const gap = (from, to) => ({ mm: Math.max(0, Math.round(Math.hypot(to[0] - from[0], to[1] - from[1]))), from, to });

/** Where the upper end of the wall is lowest over a stretch, over its middle if it is level, and how high it is there. */
function lowest(tops, middle, left, right) {
  let best = [middle, Infinity];
  for (const at of [middle, left, right, ...tops.flatMap((line) => line.map(([x]) => x)).filter((x) => x > left && x < right)]) {
    for (const [[x0, z0], [x1, z1]] of tops) {
      if (at < x0 - TOUCH_MM || at > x1 + TOUCH_MM) continue;
      const height = z0 + ((z1 - z0) * (at - x0)) / (x1 - x0);
      if (height < best[1] - TOUCH_MM) best = [at, height];
    }
  }
  return best;
}
