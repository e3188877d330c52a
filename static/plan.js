// Hands on the drawing: pieces dragged over the plan, pins and pieces picked by a tap, the paper moved when it is near.
import { apply, inDrawing, inverse } from "./coordinates.js";
import { gestures } from "./drag.js";
import { isInHand, keep, placeNow, putBack, same, shift } from "./hand.js";
import { moveWindow } from "./nearer.js";
import { drawing, handles, home, pieceOf, surroundings } from "./page.js";
import { pickNote, pickPiece } from "./pick.js";
import { restsOn, snap } from "./snap.js";
import { takeUp } from "./tape.js";

const REACH_PX = { mouse: 10, pen: 12, touch: 16 };
const ON_PIN_PX = 12;

let gesture = null;

export const isDragging = () => gesture?.isDragging() ?? false;

/** What a dragged piece is told by R: from now on it keeps this turn. */
export function holdTurn(turn) {
  const held = gesture?.held();
  if (held) held.turned = turn;
}

export function startPlan() {
  gesture = gestures(home, { grab, begin, move, drop, cancel, tap });
  home.addEventListener("touchstart", holdStill, { passive: false });
}

/** A finger on a piece moves the piece, not the page; touch-action alone does not reach shapes inside a drawing. */
function holdStill(event) {
  if (event.touches.length === 1 && handles().plan && event.target.closest("[data-piece]")) event.preventDefault();
}

const inRoom = (event) => apply(inverse(handles().plan), inDrawing(drawing(), event));

function grab(event) {
  if (!drawing().contains(event.target)) return null;
  const { pin, part } = under(event);
  if (pin) return { pin };
  const id = part?.dataset.piece;
  if (!part) return drawing().classList.contains("near") ? { paper: true } : { nothing: true };
  if (!id || !handles().plan) return { part };
  const [x, y] = inRoom(event);
  const at = placeNow(id);
  const asItIs = restsOn(pieceOf(id), at, handles().walls);
  return { part, id, offset: [x - at.x, y - at.y], start: at, asItIs };
}

/** The pin or the piece under the pointer. A body on top wins; where only unseen areas meet, the nearer middle. */
function under(event) {
  const here = document.elementsFromPoint(event.clientX, event.clientY);
  const pins = here.map((element) => element.closest(".pin")).filter(Boolean);
  const pin = nearest(pins, event);
  if (pin && distance(pin, event) <= ON_PIN_PX) return { pin };
  const parts = here.filter((element) => element.closest("[data-piece], [data-face-piece]"));
  const body = parts.find((element) => !element.classList.contains("hit"));
  const part = parts[0] && parts[0] === body ? partOf(body) : nearest(parts.map(partOf), event);
  return part ? { part } : { pin };
}

const partOf = (element) => element.closest("[data-piece], [data-face-piece]");

/** How far an event is from the middle of a piece, or of the disc of a pin. */
function distance(element, event) {
  const seen = element.querySelector(".pin > circle:not(.hit)") ?? element;
  const { left, top, width, height } = seen.getBoundingClientRect();
  return Math.hypot(event.clientX - left - width / 2, event.clientY - top - height / 2);
}

const nearest = (parts, event) => [...parts].sort((a, b) => distance(a, event) - distance(b, event))[0] ?? null;

function begin(held) {
  if (!held.id) return;
  if (isInHand() && !isInHand(held.id)) keep();
  document.body.classList.add("dragging");
  home.querySelector(`[data-piece="${CSS.escape(held.id)}"]`)?.focus({ preventScroll: true });
}

function move(held, event) {
  if (held.paper) return moveWindow(drawing(), event);
  if (!held.id || !pieceOf(held.id)) return;
  const [x, y] = inRoom(event);
  const now = placeNow(held.id);
  const wanted = { x: x - held.offset[0], y: y - held.offset[1], turn: held.turned ?? held.start.turn, base: now.base };
  const rest = event.altKey ? free(wanted) : snapped(held, wanted, event);
  const place = { x: rest.x, y: rest.y, turn: rest.turn, base: now.base };
  if (!same(place, now)) shift(held.id, place, rest);
}

const free = (wanted) => ({ ...wanted, x: Math.round(wanted.x), y: Math.round(wanted.y), against: [], inLine: [] });

function snapped(held, wanted, event) {
  const reachMm = (REACH_PX[event.pointerType] ?? REACH_PX.mouse) / handles().scale;
  const ways = { reachMm, mayTurn: held.turned === undefined, asItIs: held.asItIs };
  return snap(pieceOf(held.id), wanted, surroundings(held.id), ways);
}

function drop(held) {
  document.body.classList.remove("dragging");
  takeUp(drawing());
  if (held.id) keep();
}

function cancel(held) {
  document.body.classList.remove("dragging");
  if (held.id) putBack();
}

function tap(held) {
  if (held.pin) return pickNote(held.pin.dataset.key);
  const id = held.part?.dataset.piece ?? held.part?.dataset.facePiece;
  if (id) pickPiece(id);
  else if (held.nothing && home.querySelector(".card")) pickPiece("");
}
