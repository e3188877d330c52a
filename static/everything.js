// Every space, swing, way out and line of sight at once, as long as somebody wants to see them: they come from the server.
import { home, root, say, view } from "./page.js";

const box = () => home.querySelector("[data-everything]");
const sheet = () => document.getElementById("everything");
let asked = 0;

export function startEverything() {
  home.addEventListener("change", (event) => {
    if (event.target.matches("[data-everything]")) show(true);
  });
}

/** The key: shows everything, or the picked note's and piece's own alone again. */
export function toggleEverything() {
  box().checked = !box().checked;
  show(true);
}

/** Fetches what is to be shown for the layout on the page, or clears it. */
export async function show(aloud = false) {
  const on = box().checked;
  const number = asked += 1;
  home.querySelector(".key").classList.toggle("all", on);
  if (!on) {
    sheet().replaceChildren();
    if (aloud) say("Only what is picked shows its spaces.", 0);
    return;
  }
  const answer = await fetch(`/rooms/${root.dataset.room}/everything?${new URLSearchParams(view())}`);
  if (!answer.ok || number !== asked) return;
  const parsed = new DOMParser().parseFromString(await answer.text(), "image/svg+xml").documentElement;
  sheet().replaceChildren(...parsed.childNodes);
  if (aloud) say("Every space, swing, way out and line of sight is shown.", 0);
}
