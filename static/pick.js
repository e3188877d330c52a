// Picking a piece or a note, and letting it go.
import { isInHand, keep } from "./hand.js";
import { mark } from "./moving.js";
import { drawing, home, picked, pieceOf, root, say, view } from "./page.js";
import { toggled } from "./several.js";

/** Brings the label of a piece; with an empty id puts it away. What is in hand meanwhile stays there if it is that piece. */
export const pickPiece = (id) => pickAll(id ? [id] : []);

/** Picks one piece more, or lets go of one that is picked, and tells what is picked now. */
export function pickMore(id) {
  const ids = toggled(picked(), id);
  const names = ids.map((one) => pieceOf(one).name).join(", ");
  say(ids.length ? `${ids.length} picked: ${names}.` : "Nothing is picked.");
  return pickAll(ids);
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
