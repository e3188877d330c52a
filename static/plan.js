// Hands on the drawing: pieces dragged over the plan, pins and pieces picked by a tap, the paper moved when it is near.
import { apply, inDrawing, inverse } from "./coordinates.js";
import { gestures } from "./drag.js";
import { alongOf, onFaceOf } from "./faces.js";
import { drawFrame, framed, rubOut } from "./frame.js";
import { isInHand, keep, placeNow, putBack, same, shift } from "./hand.js";
import { fingersThatRest } from "./hold.js";
import { moveWindow } from "./nearer.js";
import { beside, drawing, handles, home, inOne, picked, pieceOf, surroundings } from "./page.js";
import { isNearMiss, pickPipe, pipeUnder } from "./picking-pipes.js";
import { pickMore, pickNote, pickPiece, picksMore, pickThese } from "./pick.js";
import { atWall, facing, restsOn, snap } from "./snap.js";
import { takeUp } from "./tape.js";

const REACH_PX = { mouse: 10, pen: 12, touch: 16 };
const ON_PIN_PX = 12;

let gesture = null;
let rested = false;

export const isDragging = () => gesture?.isDragging() ?? false;

/** The piece that is being dragged. */
export const dragged = () => gesture?.held()?.id;

/** What a dragged piece is told by R: from now on it keeps this turn. */
export function holdTurn(turn) {
  const held = gesture?.held();
  if (held) held.turned = turn;
}

export function startPlan() {
  gesture = gestures(home, { grab, begin, move, drop, cancel, tap });
  fingersThatRest(home, { on: pieceUnder, rest: addToPicked });
}

/** The piece that a finger rests on is picked beside the others, and that is all that this finger does. */
function addToPicked(id) {
  if (isDragging() || !pieceOf(id) || picked().includes(id)) return;
  rested = true;
  pickThese([...picked(), id]);
}

function pieceUnder(event) {
  if (!drawing().contains(event.target)) return null;
  const { part } = under(event);
  return part ? idOf(part) : null;
}

const inRoom = (event) => apply(inverse(handles().plan), inDrawing(drawing(), event));

function grab(event) {
  rested = false;
  if (!drawing().contains(event.target)) return null;
  const { pin, part, outlet } = under(event);
  if (outlet) return { outlet };
  if (pin) return { pin };
  const pipe = part ? null : pipeUnder(event);
  if (pipe) return { pipe };
  if (!part) return onPaper(event);
  const id = idOf(part);
  const at = placeNow(id);
  const asItIs = restsOn(pieceOf(id), at, handles().walls);
  const held = { part, id, start: at, asItIs };
  return part.dataset.piece ? { ...held, offset: offsetOn(at, inRoom(event)) } : grabOnFace(held, event);
}

const idOf = (part) => part.dataset.piece ?? part.dataset.facePiece;

/** Empty paper: moved when it is near, unless Shift is held; else a mouse draws a frame, and a finger scrolls. */
function onPaper(event) {
  const isMouse = event.pointerType === "mouse";
  if (drawing().classList.contains("near") && !(isMouse && event.shiftKey)) return { paper: true };
  return isMouse ? { nothing: true, from: inDrawing(drawing(), event) } : { nothing: true };
}

const offsetOn = (at, [x, y]) => [x - at.x, y - at.y];

/** On a face a piece goes along its wall, and up and down if it hangs there. */
function grabOnFace(held, event) {
  const edge = Number(held.part.dataset.edge);
  const { wall, along, height } = onFaceOf(edge, event);
  return { ...held, edge, offset: [along - alongOf(wall, held.start), height - held.start.base] };
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
  const outlet = here.map((element) => element.closest(".outlet-link")).find(Boolean);
  return part ? { part } : pin ? { pin } : { outlet };
}

const partOf = (element) => element.closest("[data-piece], [data-face-piece]");

/** How far an event is from the middle of a piece, or of the disc of a pin. */
function distance(element, event) {
  const seen = element.querySelector(".pin > circle:not(.hit)") ?? element;
  const { left, top, width, height } = seen.getBoundingClientRect();
  return Math.hypot(event.clientX - left - width / 2, event.clientY - top - height / 2);
}

const nearest = (parts, event) => [...parts].sort((a, b) => distance(a, event) - distance(b, event))[0] ?? null;

/** The keys go on where the hand was. */
const standOn = (id) => home.querySelector(`[data-piece="${CSS.escape(id)}"]`)?.focus({ preventScroll: true });

function begin(held) {
  if (!held.id || rested) return;
  if (isInHand() && !isInHand(held.id)) keep();
  document.body.classList.add("dragging");
  standOn(held.id);
  if (!picked().includes(held.id)) pickPiece(held.id);
}

function move(held, event) {
  if (held.paper) return moveWindow(drawing(), event);
  if (held.from) return drawFrame(held.from, event);
  if (!held.id || !pieceOf(held.id) || rested) return;
  const now = placeNow(held.id);
  const rest = held.edge === undefined ? onPlan(held, now, event) : onFace(held, now, event);
  if (!rest) return;
  const place = { x: rest.x, y: rest.y, turn: rest.turn, base: rest.base ?? now.base };
  if (!same(place, now)) shift(held.id, place, rest, held.edge);
}

function onPlan(held, now, event) {
  const [x, y] = inRoom(event);
  const wanted = { x: x - held.offset[0], y: y - held.offset[1], turn: held.turned ?? held.start.turn, base: now.base };
  return event.altKey ? free(wanted) : snapped(held, wanted, event);
}

/** Along the wall a piece goes as it goes on the plan; what hangs there goes up and down too. */
function onFace(held, now, event) {
  const at = onFaceOf(held.edge, event);
  if (!at) return null;
  const [along, up] = [at.along - held.offset[0], at.height - held.offset[1]];
  const piece = pieceOf(held.id);
  const base = piece.onWall ? raised(held.start.base, up, event) : now.base;
  const hasItsBackToIt = facing(at.wall) === held.start.turn % 360 && held.turned === undefined;
  const rests = hasItsBackToIt && held.asItIs.includes(at.wall.name);
  if (rests && !event.altKey) return atWall(inOne(held.id), at.wall, along, base, surroundings(held.id), reachOf(event));
  const by = along - alongOf(at.wall, held.start);
  const { x, y, turn } = held.start;
  const wanted = { x: x + at.wall.ux * by, y: y + at.wall.uy * by, turn: held.turned ?? turn, base };
  return { ...(event.altKey ? free(wanted) : snapped(held, wanted, event)), base };
}

/** A height in steps of 5 mm, or of 1 with Alt; one that is no whole step stays while the hand keeps level. */
function raised(from, up, event) {
  const step = event.altKey ? 1 : 5;
  return Math.abs(up - from) < step / 2 ? from : Math.max(0, Math.round(up / step) * step);
}

const reachOf = (event) => (REACH_PX[event.pointerType] ?? REACH_PX.mouse) / handles().scale;

const free = (wanted) => ({ ...wanted, x: Math.round(wanted.x), y: Math.round(wanted.y), against: [], inLine: [], clearOf: [], equal: [] });

function snapped(held, wanted, event) {
  const ways = { reachMm: reachOf(event), mayTurn: held.turned === undefined && !beside(held.id).length, asItIs: held.asItIs };
  return snap(inOne(held.id), wanted, surroundings(held.id), ways);
}

function drop(held, event) {
  if (held.from) return pickFramed(held, event);
  document.body.classList.remove("dragging");
  takeUp(drawing());
  if (held.id) keep();
}

/** What the frame holds is picked; with Shift, beside what is picked already. */
function pickFramed({ from }, event) {
  rubOut();
  const ids = [...new Set([...(event.shiftKey ? picked() : []), ...framed(from, event)])];
  if (ids.length || picked().length) pickThese(ids);
}

function cancel(held) {
  rubOut();
  document.body.classList.remove("dragging");
  if (held.id) putBack();
}

function tap(held, event) {
  if (held.outlet) return void location.assign(held.outlet.href.baseVal);
  if (held.pin) return pickNote(held.pin.dataset.key);
  if (rested) return;
  const more = event.shiftKey || picksMore();
  const pipe = held.pipe ?? (held.id && !more ? pipeUnder(event, true) : null);
  if (pipe) return pickPipe(pipe);
  if (held.id) standOn(held.id);
  if (held.id) return more ? pickMore(held.id) : pickPiece(held.id);
  if (held.nothing && !more && home.querySelector(".card") && !isNearMiss(event)) pickPiece("");
}
