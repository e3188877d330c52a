// Points of a pipe. Pure: places in room mm, [x, y, height], and moves on the plan.

const STEP_MM = 5;
const STRAIGHT_PX = 6;

/** A point moved on the plan, in steps, and straight along x or y while the hand is near its line; free with Alt. */
export function movedBy([x, y, z], by, pxPerMm, free) {
  const steps = by.map((mm) => (free ? Math.round(mm) : stepped(mm, STRAIGHT_PX / pxPerMm)));
  return [tenth(x + steps[0]), tenth(y + steps[1]), z];
}

/** The same on the face of a wall, where [right, up] is the move: along the wall and in height. */
export function movedOnWall([x, y, z], by, { ux, uy }, pxPerMm, free) {
  const [right, up] = by.map((mm) => (free ? Math.round(mm) : stepped(mm, STRAIGHT_PX / pxPerMm)));
  return [tenth(x - right * ux), tenth(y - right * uy), tenth(z + up)];
}

/** Where a point is seen on the face of a wall: from its left corner, and its height. */
export const onWall = (wall, [x, y, z]) => [wall.length - (x - wall.x) * wall.ux - (y - wall.y) * wall.uy, z];

const stepped = (mm, straight) => (Math.abs(mm) < straight ? 0 : Math.round(mm / STEP_MM) * STEP_MM);

/** The place on a stretch, [x, y, height, x, y, height] of its ends, that is nearest to one on the plan. */
export const onStretch = (ends, at) => between(ends, shareOf(ends.slice(0, 2), ends.slice(3, 5), at));

/** The same, nearest to one on the face of a wall. */
export const onStretchOf = (wall, ends, at) =>
  between(ends, shareOf(onWall(wall, ends.slice(0, 3)), onWall(wall, ends.slice(3)), at));

/** How far along from a to b the place nearest to one lies, 0 to 1. */
function shareOf([ax, ay], [bx, by], [x, y]) {
  const [ux, uy] = [bx - ax, by - ay];
  const long = ux * ux + uy * uy;
  return long ? Math.min(Math.max(((x - ax) * ux + (y - ay) * uy) / long, 0), 1) : 0;
}

const between = (ends, share) => [0, 1, 2].map((i) => tenth(ends[i] + share * (ends[i + 3] - ends[i])));

/** How far a place is from a line through points. */
export function toLine(points, [x, y]) {
  return Math.min(...points.slice(1).map(([bx, by], i) => {
    const [ax, ay] = points[i];
    const share = shareOf([ax, ay], [bx, by], [x, y]);
    return Math.hypot(ax + share * (bx - ax) - x, ay + share * (by - ay) - y);
  }));
}

const tenth = (value) => Math.round(value * 10) / 10;
