// Where a piece comes to rest while it is dragged: against a wall (facing the room), in a corner, beside a neighbour.
// Pure. A piece is {points, radius, back, left, right, base, height, hangs} with its plan in its own frame (front facing
// -y) and `back`, `left`, `right` the room it keeps on those sides; what hangs is never far from a wall. A place is
// {x, y, turn}. Several pieces as one have `parts`, each {points, radius}, and reach `below` their base. Surroundings are {walls, others, outline}; a wall is
// {x, y, ux, uy, length, name} with the room on its left; an other is {name, points, radius, base, height} in the room.
import { dot, turned } from "./coordinates.js";
import { equalStops } from "./equal.js";

export const TOUCH_MM = 0.5;
const STEP_MM = 5;
export const SIDES = { left: [-1, 0], right: [1, 0], front: [0, -1], back: [0, 1] };
/** Pushed this part of the reach past a corner, a piece goes into it and gives up the room it keeps on that side. */
const PUSHED = 0.5;

/** How far a piece that is turned so reaches from its middle along a unit direction of the room. */
export function reach(piece, turn, direction) {
  const own = turned(direction, -turn);
  return Math.max(...(piece.parts ?? [piece]).map(({ points, radius }) => Math.max(...points.map((point) => dot(point, own))) + radius));
}

export const inward = (wall) => [-wall.uy, wall.ux];

/** (along the wall, into the room) of a point. */
export function measured(wall, [x, y]) {
  const away = [x - wall.x, y - wall.y];
  return [dot(away, [wall.ux, wall.uy]), dot(away, inward(wall))];
}

function onWall(wall, along, off) {
  const [nx, ny] = inward(wall);
  return [wall.x + wall.ux * along + nx * off, wall.y + wall.uy * along + ny * off];
}

/** The turn with which a piece has its back to the wall and faces the room. */
export function facing(wall) {
  const [nx, ny] = inward(wall);
  const degrees = (Math.atan2(nx, -ny) * 180) / Math.PI;
  return Math.round((((degrees % 360) + 360) % 360) * 1000) / 1000 % 360;
}

const sameTurn = (a, b) => Math.abs(((a - b) % 360 + 540) % 360 - 180) < 0.01;

/** The names of the walls that a piece stands against, whichever way it is turned. */
export function restsOn(piece, place, walls) {
  return walls
    .filter((wall) => {
      const [along, off] = measured(wall, [place.x, place.y]);
      return along >= 0 && along <= wall.length && Math.abs(off - standOff(piece, place.turn, wall)) <= STEP_MM;
    })
    .map((wall) => wall.name);
}

/**
 * The place nearest to the one wanted at which the piece rests, and what it rests against. It turns its back to a wall
 * it comes to, unless it may not, or already stood against that wall another way (`asItIs`).
 */
export function snap(piece, wanted, surroundings, { reachMm, mayTurn = true, asItIs = [] }) {
  const wall = nearestWall(piece, wanted, surroundings.walls, reachMm, mayTurn, asItIs);
  const rested = wall ? alongWall(piece, wanted, wall, surroundings, reachMm) : amongOthers(piece, wanted, surroundings, reachMm);
  return { ...rested, x: tidy(rested.x), y: tidy(rested.y) };
}

const tidy = (value) => Math.round(value * 10) / 10;
const toStep = (value) => Math.round(value / STEP_MM) * STEP_MM;

/** The wall whose face the piece is near; the one it has its back to already comes first, so corners do not flip it. */
function nearestWall(piece, wanted, walls, reachMm, mayTurn, asItIs) {
  let best = null;
  for (const wall of walls) {
    const [along, off] = measured(wall, [wanted.x, wanted.y]);
    if (along < 0 || along > wall.length) continue;
    const back = facing(wall);
    const held = sameTurn(back, wanted.turn);
    const keeps = held || !mayTurn || asItIs.includes(wall.name);
    const turn = keeps && !piece.hangs ? wanted.turn : back;
    const stand = standOff(piece, turn, wall);
    const gap = off - stand;
    if (gap > reachMm && !piece.hangs) continue;
    if (gap < -reachMm && off <= -reachMm) continue;
    const rank = Math.abs(gap) - (held ? reachMm : 0);
    if (!best || rank < best.rank) best = { wall, turn, stand, rank };
  }
  return best;
}

function standOff(piece, turn, wall) {
  const [nx, ny] = inward(wall);
  const behind = sameTurn(turn, facing(wall)) ? piece.back : 0;
  return reach(piece, turn, [-nx, -ny]) + behind;
}

/** The place at which a piece has its back to a wall, its middle as far along it as can be, and what it rests against. */
export function atWall(piece, wall, along, base, surroundings, reachMm) {
  const turn = facing(wall);
  const [before, after] = [reach(piece, turn, [-wall.ux, -wall.uy]), reach(piece, turn, [wall.ux, wall.uy])];
  const [x, y] = onWall(wall, Math.max(before, Math.min(along, wall.length - after)), 0);
  const rested = alongWall(piece, { x, y, turn, base }, { wall, turn, stand: standOff(piece, turn, wall) }, surroundings, reachMm);
  return { ...rested, x: tidy(rested.x), y: tidy(rested.y), base };
}

/** The base of a piece whose middle is held at a height: its usual one when that is near. */
export function baseAt(piece, heightMm, reachMm) {
  const wanted = heightMm - piece.height / 2;
  return !piece.onWall || Math.abs(wanted - piece.base) <= reachMm ? piece.base : Math.max(0, toStep(wanted));
}

function alongWall(piece, wanted, { wall, turn, stand }, { others }, reachMm) {
  const [along] = measured(wall, [wanted.x, wanted.y]);
  const [ahead, back] = [[wall.ux, wall.uy], [-wall.ux, -wall.uy]];
  const [before, after] = [reach(piece, turn, back), reach(piece, turn, ahead)];
  const [keptBefore, keptAfter] = [keeps(piece, turn, back), keeps(piece, turn, ahead)];
  const stops = [
    { bare: before, room: keptBefore, against: "the corner" },
    { bare: wall.length - after, room: -keptAfter, against: "the corner" },
  ];
  const row = [];
  const [near, far] = [stand - reach(piece, turn, inward(wall).map((v) => -v)), stand + reach(piece, turn, inward(wall))];
  for (const other of others.filter((one) => sharesHeight(piece, wanted, one))) {
    const [a0, a1] = span(other, ahead, [wall.x, wall.y]);
    const [o0, o1] = span(other, inward(wall), [wall.x, wall.y]);
    if (Math.min(o1, far) - Math.max(o0, near) <= TOUCH_MM) continue;
    row.push([a0, a1]);
    stops.push(
      { bare: a1 + before, room: Math.max(keptBefore, keeps(other, other.turn, ahead)), against: other.name },
      { bare: a0 - after, room: -Math.max(keptAfter, keeps(other, other.turn, back)), against: other.name },
    );
  }
  const all = [...stops.map((one) => offered(one, along, reachMm)), ...equalStops(along, before, after, row, [0, wall.length])];
  const stop = nearest(all, along, reachMm);
  const [x, y] = onWall(wall, stop ? stop.at : toStep(along), stand);
  const against = [wall.name, ...(stop?.against && !stop.clear ? [stop.against] : [])];
  const equal = (stop?.equal ?? []).map((line) => line.map((at) => onWall(wall, at, stand)));
  return { x, y, turn, against, inLine: [], clearOf: stop?.clear ? [stop.against] : [], equal };
}

/** The room that a thing keeps towards a direction of the room; a fixture keeps none. */
export function keeps(thing, turn, direction) {
  if (turn === undefined) return 0;
  const own = turned(direction, -turn);
  const side = Object.keys(SIDES).find((name) => dot(SIDES[name], own) > 0.99);
  return thing[side] ?? 0;
}

/** Just clear of the room that is kept, while that is in reach and nothing pushes past it; else right against it. */
function offered({ bare, room, against }, along, reachMm) {
  const pushed = (bare - along) * Math.sign(room) > PUSHED * reachMm;
  const clear = room !== 0 && !pushed && Math.abs(bare + room - along) <= reachMm;
  return { at: clear ? bare + room : bare, clear, against };
}

function amongOthers(piece, wanted, { walls, others }, reachMm) {
  const place = { x: toStep(wanted.x), y: toStep(wanted.y), turn: wanted.turn, against: [], inLine: [], clearOf: [] };
  const equal = {};
  const levels = others.filter((one) => sharesHeight(piece, wanted, one));
  for (const [axis, direction] of [["x", [1, 0]], ["y", [0, 1]]]) {
    const back = direction.map((v) => -v);
    const [before, after] = [reach(piece, wanted.turn, back), reach(piece, wanted.turn, direction)];
    const stops = [];
    const row = [];
    for (const other of levels) {
      const [low, high] = span(other, direction, [0, 0]);
      stops.push({ at: low + before, inLine: other.name }, { at: high - after, inLine: other.name });
      if (beside(piece, wanted, other, direction)) {
        row.push([low, high]);
        stops.push({ at: high + before, against: other.name }, { at: low - after, against: other.name });
      }
    }
    stops.push(...equalStops(wanted[axis], before, after, row, wallsAlong(walls, wanted, axis, direction)));
    const stop = nearest(stops, wanted[axis], reachMm / 2);
    if (stop) {
      place[axis] = stop.at;
      if (stop.equal) equal[axis] = stop.equal;
      else if (stop.against) place.against.push(stop.against);
      else if (!place.inLine.includes(stop.inLine)) place.inLine.push(stop.inLine);
    }
  }
  return { ...place, equal: [...acrossRoom(equal.x, (at) => [at, place.y]), ...acrossRoom(equal.y, (at) => [place.x, at])] };
}

const acrossRoom = (lines = [], toRoom) => lines.map((line) => line.map(toRoom));

/** Where the nearest walls stand before and behind a place on an axis of the room; null where there is none. */
function wallsAlong(walls, place, axis, direction) {
  return [-1, 1].map((sign) => {
    const away = walls.map((wall) => toWall(wall, place, direction.map((v) => v * sign))).filter((at) => at !== null && at >= 0);
    return away.length ? place[axis] + sign * Math.min(...away) : null;
  });
}

function beside(piece, place, other, direction) {
  const across = [-direction[1], direction[0]];
  const [low, high] = span(other, across, [place.x, place.y]);
  const [before, after] = [-reach(piece, place.turn, across.map((v) => -v)), reach(piece, place.turn, across)];
  return Math.min(high, after) - Math.max(low, before) > TOUCH_MM;
}

function nearest(stops, at, reachMm) {
  const near = stops.filter((stop) => Math.abs(stop.at - at) <= reachMm);
  return near.sort((a, b) => Math.abs(a.at - at) - Math.abs(b.at - at))[0];
}

/** How far something reaches along a direction, from a point: nearest and farthest. */
export function span(other, direction, [x, y]) {
  const along = other.points.map(([px, py]) => dot([px - x, py - y], direction));
  return [Math.min(...along) - other.radius, Math.max(...along) + other.radius];
}

function sharesHeight(piece, place, other) {
  const base = (place.base ?? piece.base) + (piece.below ?? 0);
  return Math.min(base + piece.height, other.base + other.height) - Math.max(base, other.base) > TOUCH_MM;
}

/** The free lengths beside a placed piece, on each of its four sides, each as a line to draw. */
export function gaps(piece, place, { walls, others }) {
  const levels = others.filter((one) => sharesHeight(piece, place, one));
  const found = [];
  for (const side of [[-1, 0], [1, 0], [0, -1], [0, 1]]) {
    const direction = turned(side, place.turn);
    const start = reach(piece, place.turn, direction);
    const stops = [
      ...walls.map((wall) => toWall(wall, place, direction)),
      ...levels.map((other) => toOther(piece, place, other, direction)),
    ];
    const far = Math.min(...stops.filter((at) => at !== null && at > start - TOUCH_MM));
    if (!Number.isFinite(far)) continue;
    const at = (length) => [place.x + direction[0] * length, place.y + direction[1] * length];
    found.push({ mm: Math.max(0, Math.round(far - start)), from: at(start), to: at(far) });
  }
  return found;
}

function toWall(wall, place, direction) {
  const [nx, ny] = inward(wall);
  const closing = -dot(direction, [nx, ny]);
  if (closing < 1e-6) return null;
  const [along, off] = measured(wall, [place.x, place.y]);
  const far = off / closing;
  const meets = along + far * dot(direction, [wall.ux, wall.uy]);
  return meets < -TOUCH_MM || meets > wall.length + TOUCH_MM ? null : far;
}

function toOther(piece, place, other, direction) {
  if (!beside(piece, place, other, direction)) return null;
  const start = reach(piece, place.turn, direction);
  const [low, high] = span(other, direction, [place.x, place.y]);
  return high > start + TOUCH_MM ? Math.max(low, start) : null;
}
