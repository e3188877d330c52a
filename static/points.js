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
export function onStretch([ax, ay, az, bx, by, bz], [x, y]) {
  const [ux, uy] = [bx - ax, by - ay];
  const share = Math.min(Math.max(((x - ax) * ux + (y - ay) * uy) / (ux * ux + uy * uy), 0), 1);
  return [tenth(ax + share * ux), tenth(ay + share * uy), tenth(az + share * (bz - az))];
}

const tenth = (value) => Math.round(value * 10) / 10;
