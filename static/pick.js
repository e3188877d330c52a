// Picking a piece or a note, and letting it go.
import { isInHand, keep } from "./hand.js";
import { mark } from "./moving.js";
import { drawing, home, root, view } from "./page.js";

/** Brings the label of a piece; with an empty id puts it away. What is in hand meanwhile stays there if it is that piece. */
export function pickPiece(id) {
  if (!isInHand(id)) keep();
  mark(drawing(), id);
  document.querySelector("#view [name=piece]").value = id;
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
