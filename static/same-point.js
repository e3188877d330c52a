// Which point of a pipe somebody was at, by its place: its number changes when the route is found anew or a point goes.
import { home } from "./page.js";

const OF_A_POINT = /^(point|bend|put|pin|out)-(\d+)(-[xyz])?$/;
const NEAR_MM = 0.06;

const summaries = () => [...home.querySelectorAll(".pipe-held [data-point]")];
const mmOf = (summary) => summary.dataset.mm.split(" ").map(Number);
const figure = (blank) => Number.parseFloat(blank.value.replaceAll(",", ""));

/** The places at which a point may come back: where it is, and where its blanks say that it goes. */
function placesOf(summary) {
  const blanks = ["x", "y", "z"].map((name) => document.getElementById(`point-${summary.dataset.point}-${name}`));
  return [mmOf(summary), ...(blanks.every(Boolean) ? [blanks.map(figure)] : [])];
}

/** The point whose form lies open, and the one with the focus. */
export function pointsAt() {
  const open = summaries().find((summary) => summary.parentElement.open);
  const on = OF_A_POINT.exec(document.activeElement?.id ?? "");
  const stood = on && summaries().find((summary) => summary.dataset.point === on[2]);
  return {
    open: open && placesOf(open),
    stood: stood && { places: placesOf(stood), id: (index) => `${on[1]}-${index}${on[3] ?? ""}` },
  };
}

function at(places) {
  const near = (a, b) => a.every((value, i) => Math.abs(value - b[i]) < NEAR_MM);
  const found = [...places].reverse().map((place) => summaries().find((summary) => near(mmOf(summary), place)));
  return found.find(Boolean);
}

/** Opens the form of the same point again; of one that is gone none. */
export function openAgain({ open }) {
  const same = open && at(open);
  for (const summary of summaries()) summary.parentElement.open = summary === same;
}

/** The id of what had the focus, under the number that its point has now; nothing where the point is gone. */
export function idNow({ stood }) {
  const same = stood && at(stood.places);
  return same ? stood.id(same.dataset.point) : "";
}
