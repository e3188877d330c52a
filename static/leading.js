// Somebody is led to a part that is not on the page yet: once it has come in it is opened, in sight, and has the focus.
import { home } from "./page.js";

let there = "";
let scrolls = true;

/** What to go to, as a selector, when the answer to what is asked now has come in. */
export function lead(selector, bring = true) {
  [there, scrolls] = [selector, bring];
}

export function goThere() {
  const part = there && home.querySelector(there);
  if (!part) return;
  there = "";
  for (let fold = part.closest("details"); fold; fold = fold.parentElement.closest("details")) fold.open = true;
  part.focus({ preventScroll: true });
  if (scrolls) part.scrollIntoView({ block: "start" });
}
