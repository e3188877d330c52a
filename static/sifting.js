// Which notes are shown, and how they stand. The list itself always comes whole from the server; here some rest unseen.
import { home, root, say, view } from "./page.js";
import { matchesAll } from "./search.js";

const list = () => [...home.querySelectorAll(".note")];
const questions = () => [...home.querySelectorAll("#questions-list > li:not(.ask-group)")];

export function startSifting(after) {
  home.addEventListener("input", (event) => {
    if (!event.target.matches("[data-sift-words], [data-sift-verdict]")) return;
    sift();
    after();
    say(document.getElementById("sift-count").textContent.replace(/^, /, "") || "All notes are shown.");
  });
  home.addEventListener("change", (event) => {
    if (event.target.matches("[data-sift-by]")) group(event.target.value);
  });
}

/** The way the notes stand is kept for every room, and the page comes in set out so. */
function group(by) {
  document.cookie = `grouped=${by}; path=/; max-age=31536000; samesite=lax`;
  const address = `/rooms/${root.dataset.room}?${new URLSearchParams(view())}`;
  window.htmx.ajax("GET", address, { source: home, target: "#bench", swap: "innerHTML" });
}

/** Hides what is not asked for, in the list and on the drawing; the picked note always stays. */
export function sift() {
  const box = home.querySelector("[data-sift]");
  box.hidden = false;
  const words = home.querySelector("[data-sift-words]").value;
  const shown = (verdict) => home.querySelector(`[data-sift-verdict="${verdict}"]`).checked;
  const whole = words.trim() === "" && ["put-right", "look-again", "not-checked"].every(shown);
  if (whole && !home.querySelector("[data-sifted]")) return;
  const keeps = (element, verdict) => element.classList.contains("on") || (shown(verdict) && matchesAll(element.textContent, words));
  const sifted = new Set();
  for (const note of list()) {
    const away = !keeps(note, note.dataset.verdict);
    note.toggleAttribute("data-sifted", away);
    if (away) sifted.add(note.dataset.key);
  }
  for (const one of questions()) one.toggleAttribute("data-sifted", !keeps(one, "not-checked"));
  for (const mark of home.querySelectorAll("#marks [data-key]")) mark.toggleAttribute("data-sifted", sifted.has(mark.dataset.key));
  for (const head of home.querySelectorAll(".note-group, .ask-group")) head.toggleAttribute("data-sifted", !heads(head));
  tell();
}

/** Whether anything is shown under a heading. */
function heads(head) {
  for (let next = head.nextElementSibling; next && next.tagName === "LI"; next = next.nextElementSibling) {
    if (next.matches(".note-group, .ask-group")) return false;
    if (!("sifted" in next.dataset)) return true;
  }
  return false;
}

function tell() {
  const every = [...list(), ...questions()];
  const seen = every.filter((one) => !("sifted" in one.dataset)).length;
  const count = document.getElementById("sift-count");
  const words = seen === every.length ? "" : `, ${seen} of ${every.length} shown`;
  if (count.textContent !== words) count.textContent = words;
}
