// The workbench: starts every part, and sets the page out again whenever something new comes in from the server.
import { arrange, arrangeWhenAtRest } from "./arrange.js";
import { isUnsaved, tryNothing } from "./changes.js";
import { startDropping } from "./dropping.js";
import { show as showEverything, startEverything } from "./everything.js";
import { goOn, isInHand, keep, putBack as putPieceBack } from "./hand.js";
import { putBack, remember } from "./keep.js";
import { startKeys } from "./keys.js";
import { goThere, lead } from "./leading.js";
import { toggleNearer } from "./nearer.js";
import { mark } from "./moving.js";
import { bench, drawing, home, mode, picked, pieceOf, root, say, view } from "./page.js";
import { pickPiece, showMore } from "./pick.js";
import { startPipes, takeUpPipe } from "./pipes.js";
import { dragged, isDragging, startPlan } from "./plan.js";
import { startShelf } from "./shelf.js";
import { sift, startSifting } from "./sifting.js";
import { warnWhile } from "./unsaved.js";

const RESIZED_PX = 4;
const RESIZE_REST_MS = 200;

// ---- new parts come in. The document listens: what asked for them may have gone with the old parts.

const isTry = (event) => event.detail.ctx.request?.action?.endsWith("/try");

document.addEventListener("htmx:before:swap", (event) => {
  if (isOld(event)) event.preventDefault();
  else if (!isTry(event)) remember();
});

/** An answer about a layout that the page has left meanwhile. */
function isOld(event) {
  const address = event.detail.ctx.request?.action ?? "";
  const layout = new URLSearchParams(address.split("?")[1]).get("layout");
  return /\/(note|card)\?/.test(address) && layout !== view().layout;
}

document.addEventListener("htmx:after:swap", (event) => {
  sift();
  if (isTry(event)) return arrangeWhenAtRest();
  const { response, target } = event.detail.ctx;
  if (response && response.status < 400 && target?.id !== "message") document.getElementById("message").replaceChildren();
  putBack(() => home.querySelector(".cart a"));
  settle();
});

home.addEventListener("bench:refused", () => {
  if (isInHand()) putPieceBack();
  else tryNothing();
});

function settle() {
  const { said } = bench().dataset;
  if (said) say(said, 0);
  bench().dataset.said = "";
  goOn(isDragging());
  const id = dragged();
  if (id && pieceOf(id) && !picked().includes(id)) pickPiece(id);
  if (picked().length > 1) mark(drawing(), picked());
  showMore();
  for (const hidden of home.querySelectorAll("[data-nearer], [data-scripted]")) hidden.hidden = false;
  takeUpPipe();
  showAndHide();
  rememberTurn();
  sift();
  showEverything();
  arrange();
  goThere();
}

/** How the page of this room is turned, for the next time it is opened. */
function rememberTurn() {
  document.cookie = `turned=${view().quarters}; path=/rooms/${root.dataset.room}; max-age=31536000; samesite=lax`;
}

home.addEventListener("click", (event) => {
  if (event.target.closest("[data-nearer]")) toggleNearer(drawing(), arrange);
});

/** What is not ticked to be shown is hidden by a class of the page. */
function showAndHide() {
  for (const { name, checked } of home.querySelectorAll('#show input[name^="show-"]:not([data-everything])')) {
    bench().classList.toggle(name.replace("show", "hides"), !checked);
  }
}

home.addEventListener("change", (event) => {
  if (event.target.closest("#show")) showAndHide();
});

// what is folded opens for those who are sent to it
home.addEventListener("click", (event) => {
  const opens = event.target.closest("[data-opens]");
  if (opens) document.getElementById(opens.dataset.opens).open = true;
});

home.addEventListener("click", (event) => {
  const link = event.target.closest("[data-leads-to]");
  if (link) lead(`#${link.dataset.leadsTo}`);
});

// the label turned over is larger
home.addEventListener("toggle", (event) => {
  if (!event.target.closest(".card")) return;
  arrange();
  if (event.target.matches(".point[open]") && mode() !== "phone") event.target.scrollIntoView({ block: "nearest" });
}, true);

home.addEventListener("bench:said", arrange);

// on a phone it is longer than the screen: it is read from its top, whichever side lies up
home.addEventListener("click", (event) => {
  if (mode() !== "phone" || !event.target.closest(".back > summary")) return;
  requestAnimationFrame(() => home.querySelector(".card")?.scrollIntoView({ block: "start" }));
});

/** Whether something is written in a form of the page that was not sent yet. */
function isWritten() {
  const blanks = [...home.querySelectorAll("form:not(#view) :is(input:not([type=hidden]), textarea)")];
  return blanks.some((one) => one.type !== "checkbox" && one.type !== "search" && one.value !== one.defaultValue);
}

document.addEventListener("visibilitychange", () => {
  if (document.visibilityState === "hidden") keep();
});

// ---- the size of the page

const sizeOfPage = () => [window.innerWidth, window.innerHeight];

function fits() {
  const drawnFor = bench().dataset.area.split("x").map(Number);
  return sizeOfPage().every((size, i) => Math.abs(size - drawnFor[i]) <= RESIZED_PX);
}

/** Tells the server how large the page is, and has it drawn anew if it was drawn for another size. */
async function refit() {
  if (fits()) return arrange();
  document.cookie = `area=${sizeOfPage().join("x")}; path=/; max-age=31536000; samesite=lax`;
  keep();
  const address = `/rooms/${root.dataset.room}?${new URLSearchParams(view())}`;
  await window.htmx.ajax("GET", address, { source: home, target: "#bench", swap: "innerHTML" });
}

let resizing = 0;
window.addEventListener("resize", () => {
  clearTimeout(resizing);
  resizing = setTimeout(refit, RESIZE_REST_MS);
});

async function start() {
  startPlan();
  startShelf();
  startKeys();
  startPipes();
  startSifting(arrange);
  startEverything();
  startDropping();
  warnWhile(() => isInHand() || isUnsaved() || isWritten());
  await document.fonts.ready;
  await refit();
  settle();
  root.dataset.ready = "";
}

start();
