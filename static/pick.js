// Picking a piece or a note, and letting it go.
import { isInHand, keep } from "./hand.js";
import { mark } from "./moving.js";
import { drawing, home, picked, pieceOf, root, say, view } from "./page.js";
import { toggled } from "./several.js";

/** Brings the label of a piece; with an empty id puts it away. What is in hand meanwhile stays there if it is that piece. */
export const pickPiece = (id) => pickAll(id ? [id] : []);

/** Picks one piece more, or lets go of one that is picked. */
export const pickMore = (id) => pickThese(toggled(picked(), id));

/** Picks exactly these and tells what is picked now. */
export function pickThese(ids) {
  const names = ids.map((one) => pieceOf(one).name).join(", ");
  say(ids.length ? `${ids.length} picked: ${names}.` : "Nothing is picked.");
  return pickAll(ids);
}

/** Whether each tap picks one more: from a press on the button until the next, or until all is let go. */
let more = false;

export const picksMore = () => more;

export function toggleMore() {
  more = !more;
  showMore();
  say(more ? "Each piece you tap is picked too, until you press Pick more again." : "A tap picks one piece alone.");
}

/** The button as it stands, on a label that came in new. */
export function showMore() {
  more &&= picked().length > 0;
  for (const button of home.querySelectorAll("[data-pick-more]")) {
    button.hidden = false;
    button.setAttribute("aria-pressed", String(more));
  }
}

function pickAll(ids) {
  const [id = "", ...also] = ids;
  if (!isInHand(id)) keep();
  mark(drawing(), ids);
  document.querySelector("#view [name=piece]").value = id;
  document.querySelector("#view [name=also]").value = also.join(" ");
  const fields = new URLSearchParams({ ...view(), pick: id });
  return window.htmx.ajax("GET", `/rooms/${root.dataset.room}/card?${fields}`, { source: home, swap: "none" });
}

export function pickNote(key) {
  const note = [...home.querySelectorAll(".note")].find((one) => one.dataset.key === key);
  note?.querySelector("h3 a")?.click();
}

/** Closes the note that is open, if one is. */
export function closeNote() {
  home.querySelector(".note.on h3 a")?.click();
}
