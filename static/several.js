// Several picked pieces, moved as if all were fixed to one board: where the first goes, the others go along.
import { turned } from "./coordinates.js";

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
