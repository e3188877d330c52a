// Several picked pieces, moved as if all were fixed to one board: where the first goes, the others go along.
import { dot, turned } from "./coordinates.js";
import { keeps, reach, SIDES } from "./snap.js";

const tidy = (value) => Math.round(value * 10) / 10;

/** Where a piece comes to when another goes `from` one place `to` another and carries it along. Places are {x, y, turn, base}. */
export function along(from, to, place) {
  const by = to.turn - from.turn;
  const [dx, dy] = turned([place.x - from.x, place.y - from.y], by);
  return {
    x: tidy(to.x + dx), y: tidy(to.y + dy), turn: (((place.turn + by) % 360) + 360) % 360, base: place.base + to.base - from.base,
  };
}

/** Every picked id, the first first, after one more was picked or one of them was let go. */
export const toggled = (ids, id) => (ids.includes(id) ? ids.filter((one) => one !== id) : [...ids, id]);

/** Where the first of several places comes to when all turn about their common middle. */
export function aboutTheMiddle(places, degrees) {
  const middle = ["x", "y"].map((axis) => {
    const values = places.map((place) => place[axis]);
    return (Math.min(...values) + Math.max(...values)) / 2;
  });
  const [first] = places;
  const [x, y] = turned([first.x - middle[0], first.y - middle[1]], degrees);
  return { ...first, x: tidy(middle[0] + x), y: tidy(middle[1] + y), turn: (((first.turn + degrees) % 360) + 360) % 360 };
}

/** Several placed pieces as one that snaps: the outline of all and the room they keep beyond it, in the frame of the first. */
export function asOne(pieces) {
  const [first] = pieces;
  const members = pieces.map((piece) => ({
    ...piece, turn: piece.turn - first.turn, at: turned([piece.x - first.x, piece.y - first.y], -first.turn),
  }));
  const parts = members.map(({ points, radius, turn, at }) => ({
    points: points.map((point) => turned(point, turn)).map(([x, y]) => [x + at[0], y + at[1]]), radius,
  }));
  const low = Math.min(...pieces.map(({ base }) => base));
  const high = Math.max(...pieces.map(({ base, height }) => base + height));
  const one = { ...first, parts, hangs: false, below: low - first.base, height: high - low };
  const kept = Object.entries(SIDES).map(([name, side]) => {
    const far = members.map((each) => dot(each.at, side) + reach(each, each.turn, side) + keeps(each, each.turn, side));
    return [name, Math.max(...far) - reach(one, 0, side)];
  });
  return { ...one, ...Object.fromEntries(kept) };
}
