// The workbench: connects the drawing, the keys, the notes and the server. What each part does is in its own module.
import { apply, inDrawing, inverse, swept } from "./coordinates.js";
import { arrange } from "./arrange.js";
import { change, tryOut } from "./changes.js";
import { gestures } from "./drag.js";
import { putBack, remember } from "./keep.js";
import { mark, onFace, show } from "./moving.js";
import { moveWindow, toggleNearer } from "./nearer.js";
import { deedOf, pageDeedOf } from "./nudge.js";
import { bench, drawing, handles, home, mode, pieceOf, root, say, surroundings, view } from "./page.js";
import { startShelf } from "./shelf.js";
import { restsOn, snap } from "./snap.js";
import { lay, takeUp } from "./tape.js";

const KEEP_AFTER_MS = 700;
const REACH_PX = { mouse: 10, pen: 12, touch: 16 };
const RESIZED_PX = 4;

/** The piece that was moved but is not saved yet: {id, place}. */
let pending = null;
let keeping = 0;

// ---- a piece at a new place, seen at once and tried on the server

function shift(id, place, against = []) {
  const piece = pieceOf(id);
  pending = { id, place };
  show(drawing(), handles(), piece, place);
  lay(drawing(), handles(), piece, place, surroundings(id));
  mark(drawing(), id);
  tryOut({ piece: id }, place);
  if (against.length) say(`${piece.name} against ${against.join(" and ")}.`);
}

const placeNow = (id) => (pending?.id === id ? pending.place : savedPlace(id));

function savedPlace(id) {
  const { x, y, turn, base } = pieceOf(id);
  return { x, y, turn, base };
}

const same = (a, b) => a.x === b.x && a.y === b.y && a.base === b.base && (a.turn - b.turn) % 360 === 0;

/** Saves what is pending, if it differs from what is saved. */
function keep() {
  clearTimeout(keeping);
  if (!pending) return;
  const { id, place } = pending;
  if (!pieceOf(id) || same(place, savedPlace(id))) return putAway();
  change({ do: "move", piece: id, x: place.x, y: place.y, turn: place.turn, base_mm: place.base });
}

function keepSoon() {
  clearTimeout(keeping);
  keeping = setTimeout(keep, KEEP_AFTER_MS);
}

/** Shows the saved place again. */
function putAway() {
  clearTimeout(keeping);
  if (!pending) return;
  const { id } = pending;
  pending = null;
  takeUp(drawing());
  if (!pieceOf(id)) return;
  show(drawing(), handles(), pieceOf(id), savedPlace(id));
  tryOut({ piece: id }, savedPlace(id));
}

// ---- dragging on the plan

function grab(event) {
  if (!drawing().contains(event.target)) return null;
  const here = document.elementsFromPoint(event.clientX, event.clientY);
  const pin = here.find((element) => element.closest(".pin"));
  const parts = here.map((element) => ({ element, part: element.closest("[data-piece], [data-face-piece]") })).filter(({ part }) => part);
  const solid = parts.find(({ element }) => !element.classList.contains("hit"));
  const part = solid && here[0] === solid.element ? solid.part : nearest(parts.map((one) => one.part), event);
  if (pin && !part?.dataset.piece) return { pin: pin.closest(".pin") };
  if (pin && distance(pin.closest(".pin"), event) < 12) return { pin: pin.closest(".pin"), part };
  if (part) return { part };
  return drawing().classList.contains("near") ? { paper: true } : null;
}

function distance(element, event) {
  const { left, top, width, height } = element.getBoundingClientRect();
  return Math.hypot(event.clientX - left - width / 2, event.clientY - top - height / 2);
}

const nearest = (parts, event) => parts.sort((a, b) => distance(a, event) - distance(b, event))[0] ?? null;

const dragged = {
  grab(event) {
    const held = grab(event);
    if (!held) return null;
    const id = held.part?.dataset.piece;
    if (id && handles().plan) {
      const [x, y] = inRoom(event);
      const at = placeNow(id);
      const asItIs = restsOn(pieceOf(id), at, handles().walls);
      return { ...held, id, offset: [x - at.x, y - at.y], start: at, asItIs };
    }
    return held;
  },
  begin(held) {
    if (!held.id) return;
    if (pending && pending.id !== held.id) keep();
    clearTimeout(keeping);
    document.body.classList.add("dragging");
    home.querySelector(`[data-piece="${CSS.escape(held.id)}"]`)?.focus({ preventScroll: true });
  },
  move(held, event) {
    if (held.paper) return moveWindow(drawing(), event);
    if (!held.id || !pieceOf(held.id)) return;
    const [x, y] = inRoom(event);
    const now = placeNow(held.id);
    const wanted = { x: x - held.offset[0], y: y - held.offset[1], turn: held.turned ?? held.start.turn, base: now.base };
    const free = { ...wanted, x: Math.round(wanted.x), y: Math.round(wanted.y), against: [] };
    const reachMm = (REACH_PX[event.pointerType] ?? REACH_PX.mouse) / handles().scale;
    const ways = { reachMm, mayTurn: held.turned === undefined, asItIs: held.asItIs };
    const rest = event.altKey ? free : snap(pieceOf(held.id), wanted, surroundings(held.id), ways);
    const place = { x: rest.x, y: rest.y, turn: rest.turn, base: now.base };
    if (!same(place, now)) shift(held.id, place, rest.against);
  },
  drop(held) {
    document.body.classList.remove("dragging");
    takeUp(drawing());
    if (held.id) keep();
  },
  cancel(held) {
    document.body.classList.remove("dragging");
    if (held.id) putAway();
  },
  tap(held, event) {
    if (held.pin) return pickNote(held.pin.dataset.key);
    const id = held.part?.dataset.piece ?? held.part?.dataset.facePiece;
    if (id) pickPiece(id, event);
  },
};

const inRoom = (event) => apply(inverse(handles().plan), inDrawing(drawing(), event));

// ---- picking

function pickPiece(id) {
  keep();
  mark(drawing(), id);
  const room = root.dataset.room;
  return htmx.ajax("GET", `/rooms/${room}/card?${new URLSearchParams({ ...view(), pick: id })}`, { source: home, swap: "none" });
}

function pickNote(key) {
  const note = [...home.querySelectorAll(".note")].find((one) => one.dataset.key === key);
  note?.querySelector("h3 a")?.click();
}

// ---- keys

function turnBy(id, degrees) {
  const now = placeNow(id);
  return { ...now, turn: (now.turn + degrees + 360) % 360 };
}

/** A move in screen directions as a move in the room: on the plan, or along and up the wall that a phone shows. */
function ofScreen(id, right, down) {
  const now = placeNow(id);
  const room = handles();
  if (!room.plan) return alongFace(room, now, right, down);
  const [dx, dy] = swept(inverse(room.plan), [right * room.scale, down * room.scale]);
  return { ...now, x: tidy(now.x + dx), y: tidy(now.y + dy) };
}

function alongFace(room, now, right, down) {
  const wall = room.walls[room.faces[0].edge];
  return { ...now, x: tidy(now.x - wall.ux * right), y: tidy(now.y - wall.uy * right), base: now.base - down };
}

const tidy = (value) => Math.round(value * 10) / 10;

function obey(id, deed) {
  const now = placeNow(id);
  if (deed.do === "move") shift(id, ofScreen(id, deed.right, deed.down));
  else if (deed.do === "raise") shift(id, { ...now, base: now.base + deed.mm });
  else if (deed.do === "turn") shift(id, turnBy(id, deed.degrees));
  else if (deed.do === "remove") return void take(id);
  else if (deed.do === "pick") return void pickPiece(id);
  else if (deed.do === "put-back") return void letGo(id);
  const place = placeNow(id);
  say(`${pieceOf(id).name} at ${place.x}, ${place.y}, base ${place.base}, turn ${place.turn}.`, 600);
  if (!moving.isDragging()) keepSoon();
}

function take(id) {
  pending = null;
  clearTimeout(keeping);
  change({ do: "remove", piece: id });
}

/** Escape: what is not saved goes back to its place; otherwise the piece is let go. */
function letGo(id) {
  if (pending?.id === id) {
    putAway();
    say(`${pieceOf(id).name} is back where it was.`);
  } else {
    pickPiece("");
  }
}

let moving = null;

document.addEventListener("keydown", (event) => {
  const history = pageDeedOf(event);
  if (history && !event.target.matches?.("input, textarea, select")) {
    event.preventDefault();
    if (pending) return void putAway();
    return void home.querySelector(`[data-history="${history}"]`)?.click();
  }
  const id = event.target.closest?.("[data-piece]")?.dataset.piece;
  const deed = id && home.contains(event.target) ? deedOf(event) : null;
  if (!deed) return void away(event);
  event.preventDefault();
  obey(id, deed);
  const held = moving.held();
  if (deed.do === "turn" && held) held.turned = placeNow(id).turn;
});

function away(event) {
  if (event.key !== "Escape" || event.target.matches?.("input, textarea, select")) return;
  home.querySelector(".note.on h3 a")?.click();
}

// ---- the page comes in, changes, and is set out again

function settle() {
  const said = bench().dataset.said;
  if (said) say(said, 0);
  if (pending) goOn();
  for (const hidden of home.querySelectorAll("[data-nearer]")) hidden.hidden = false;
  arrange();
}

/** What was moved on while a save was under way stays where the hand has it. */
function goOn() {
  const { id, place } = pending;
  if (!pieceOf(id) || same(place, savedPlace(id))) {
    pending = null;
    return;
  }
  show(drawing(), handles(), pieceOf(id), place);
  if (!moving.isDragging()) keepSoon();
}

const isTry = (event) => event.detail.ctx.request?.action?.endsWith("/try");

root.addEventListener("htmx:before:swap", (event) => {
  if (!isTry(event)) remember();
});
root.addEventListener("htmx:after:swap", (event) => {
  if (isTry(event)) return arrange();
  const { response } = event.detail.ctx;
  if (response && response.status < 400) document.getElementById("message").replaceChildren();
  settle();
  putBack(() => home.querySelector(".cart a"));
});
home.addEventListener("bench:refused", () => {
  if (pending) putAway();
});
root.addEventListener("focusout", (event) => {
  if (pending && event.target.dataset?.piece === pending.id && !moving.isDragging()) keep();
});
root.addEventListener("click", (event) => {
  if (event.target.closest("[data-nearer]")) toggleNearer(drawing(), event.target.closest("[data-nearer]"), arrange);
  const step = event.target.closest("[data-nudge]");
  if (step) obey(view().piece, deedOf({ key: step.dataset.nudge }));
});
document.addEventListener("visibilitychange", () => {
  if (document.visibilityState === "hidden") keep();
});

// ---- the size of the page

function sizeOfPage() {
  return [window.innerWidth, window.innerHeight];
}

function fits() {
  const [width, height] = bench().dataset.area.split("x").map(Number);
  const [w, h] = sizeOfPage();
  return Math.abs(width - w) <= RESIZED_PX && Math.abs(height - h) <= RESIZED_PX;
}

async function refit() {
  if (fits()) return arrange();
  document.cookie = `area=${sizeOfPage().join("x")}; path=/; max-age=31536000; samesite=lax`;
  keep();
  await htmx.ajax("GET", `/rooms/${root.dataset.room}?${new URLSearchParams(view())}`, { source: home, target: "#bench", swap: "innerHTML" });
}

let resizing = 0;
window.addEventListener("resize", () => {
  clearTimeout(resizing);
  resizing = setTimeout(refit, 200);
});

async function start() {
  moving = gestures(home, dragged);
  startShelf();
  await document.fonts.ready;
  await refit();
  settle();
  root.dataset.ready = "";
}

start();
