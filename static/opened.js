// A note that was just opened is brought into sight, whatever it was opened from: a pin may be far from its note.
import { home } from "./page.js";

let shown = "";

export function bringOpened() {
  const note = home.querySelector(".note.on");
  const key = note?.dataset.key ?? "";
  if (key && key !== shown) bring(note);
  shown = key;
}

/** At once, so that whoever asked for less motion has none; a note longer than its margin is read from its top. */
function bring(note) {
  const room = Math.min(note.closest(".margin").clientHeight, window.innerHeight);
  note.scrollIntoView({ block: note.offsetHeight > room ? "start" : "nearest" });
}
