// What a person had open, ticked, scrolled to and stood on stays so when the server's new page comes in.
import { showNear } from "./nearer.js";
import { drawing, home, mode, root, view } from "./page.js";
import { idNow, openAgain, pointsAt } from "./same-point.js";

const SCROLLED = ["margin", "shelf-row"];
const scrolled = () => [...SCROLLED, home.querySelector(".card")?.id].filter(Boolean);
let kept = null;

function standing() {
  const on = document.activeElement;
  if (!on || !root.contains(on)) return null;
  if (on.dataset.piece) return { piece: on.dataset.piece };
  const question = on.closest(".ask");
  if (question) return { question: question.id };
  if (on.id) return { id: on.id };
  const form = on.form ?? on.closest("form");
  const deed = form?.querySelector("[name=do]")?.value;
  return deed ? { deed } : null;
}

/** The window on a drawing that has come nearer, as long as it is the same drawing: same size, turned the same way. */
function windowOf(svg) {
  return svg.classList.contains("near") ? { box: svg.getAttribute("viewBox"), same: sheetOf(svg) } : null;
}

const sheetOf = (svg) => `${svg.getAttribute("width")} ${svg.getAttribute("height")} ${view().quarters}`;

function comeBack({ box, same }) {
  const svg = drawing();
  if (same === sheetOf(svg) && !svg.classList.contains("near")) showNear(svg, box);
}

/** Remembers before a swap. */
export function remember() {
  kept = {
    standing: standing(),
    points: pointsAt(),
    mode: mode(),
    near: windowOf(drawing()),
    open: Object.fromEntries([...home.querySelectorAll("details[id]:not(#swap, .points details)")].map((one) => [one.id, one.open])),
    ticked: Object.fromEntries([...home.querySelectorAll("input[type=checkbox]")].map((one) => [one.name, one.checked])),
    scrolled: scrolled().map((id) => [id, document.getElementById(id)?.scrollTop ?? 0]),
    typed: [...home.querySelectorAll("#accept input, #sift-words")].map((one) => [one.id, one.value]),
  };
}

/** Puts back after it. `gone` is where to stand when what was stood on is no longer there. */
export function putBack(gone) {
  if (!kept) return;
  for (const [id, open] of Object.entries(kept.mode === mode() ? kept.open : {})) {
    const one = document.getElementById(id);
    if (one && !("turned" in one.dataset)) one.open = open;
  }
  openAgain(kept.points);
  for (const [name, checked] of Object.entries(kept.ticked)) {
    const box = home.querySelector(`input[name="${name}"]`);
    if (box) box.checked = checked;
  }
  for (const [id, value] of kept.typed) {
    const blank = document.getElementById(id);
    if (blank && !blank.value) blank.value = value;
  }
  if (kept.near) comeBack(kept.near);
  for (const [id, top] of kept.scrolled) document.getElementById(id)?.scrollTo(0, top);
  const place = kept.standing;
  const again = idNow(kept.points);
  kept = null;
  if (!place || (document.activeElement !== document.body && root.contains(document.activeElement))) return;
  const found = place.piece ? home.querySelector(`[data-piece="${CSS.escape(place.piece)}"]`)
    : place.question ? summaryOf(place.question) ?? summaryOf("questions")
      : place.id ? document.getElementById(again || place.id)
        : home.querySelector(`form:has([name=do][value="${place.deed}"]) button`);
  const seen = found?.getClientRects().length ? found : null;
  (seen ?? leftBy(place) ?? gone?.())?.focus({ preventScroll: true });
}

const summaryOf = (id) => document.getElementById(id)?.querySelector("summary");

const OF_PIPES = /^(pick|bend|point|pin|out|put)-|^let-pipe-go$/;

/** Where a swap leads to and back: to the button that undoes it, and to the list of kinds again; so with a pipe. */
function leftBy(place) {
  if (OF_PIPES.test(place.id) || place.deed?.startsWith("pipe-")) {
    return home.querySelector(".pipe-held [data-point]") ?? home.querySelector(".pipe-held button") ?? summaryOf("pipes-of");
  }
  if (place.deed === "swap") return document.getElementById("swap-back");
  return place.id === "swap-back" ? summaryOf("swap") : null;
}
