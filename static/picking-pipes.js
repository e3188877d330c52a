// Pipes on the drawing: the line under the hand, the one that lies nearest, and picking it.
import { inDrawing } from "./coordinates.js";
import { keep } from "./hand.js";
import { lead } from "./leading.js";
import { mark } from "./moving.js";
import { drawing, home, mode, root, view } from "./page.js";
import { toLine } from "./points.js";

const REACH_PX = { mouse: 9, pen: 12, touch: 22 };
/** On a body a pipe is meant only by a press on its line itself. */
const ON_LINE_PX = 3;
const NEAR_MISS_PX = 30;

const places = (path) => path.getAttribute("d").slice(1).split("L").map((pair) => pair.split(",").map(Number));

/** The line nearest to the hand, and how far it is, in px of the screen. */
function nearest(event) {
  const at = inDrawing(drawing(), event);
  const px = drawing().getScreenCTM().a;
  const seen = [...home.querySelectorAll(".pipe-hit")].filter((path) => path.getClientRects().length);
  const found = seen.map((path) => ({ path, far: toLine(places(path), at) * px }));
  return found.sort((a, b) => a.far - b.far)[0] ?? { far: Infinity };
}

/** The pipe that a press is meant for: any within reach of the hand, but on a body only what lies right under it. */
export function pipeUnder(event, onBody = false) {
  const { path, far } = nearest(event);
  return far <= (onBody ? ON_LINE_PX : REACH_PX[event.pointerType] ?? REACH_PX.mouse) ? path : null;
}

/** Whether a press on nothing was meant for a pipe all the same: one is picked, or lies near. */
export const isNearMiss = (event) => Boolean(view().pipe) || nearest(event).far <= NEAR_MISS_PX;

/** Opens the label of the piece at that pipe: the picked one, or its line in the list where its route is found. */
export function pickPipe({ dataset: { of, pipe, lineOf } }) {
  keep();
  mark(drawing(), [of]);
  document.querySelector("#view [name=piece]").value = of;
  document.querySelector("#view [name=also]").value = "";
  lead(pipe ? "#pipe-held" : `[data-line="${CSS.escape(lineOf)}"]`, !pipe || mode() !== "phone");
  const fields = new URLSearchParams({ ...view(), pick: of, pipe });
  window.htmx.ajax("GET", `/rooms/${root.dataset.room}/card?${fields}`, { source: home, swap: "none" });
}
