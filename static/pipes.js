// The picked pipe in hand: its rings dragged, its points moved by keys, a bend put in; measured alone on the server.
import { change } from "./changes.js";
import { apply, inDrawing, inverse, swept } from "./coordinates.js";
import { gestures } from "./drag.js";
import { deedOf } from "./nudge.js";
import { drawing, handles, home, mode, say, view } from "./page.js";
import { movedBy, movedOnWall, onStretch, onStretchOf, onWall } from "./points.js";

const KEEP_AFTER_MS = 700;
/** Rings nearer to each other than this share their numbers. */
const PILE_PX = 14;
const trying = document.getElementById("pipe-trying");

/** The point that was moved but is not saved yet: {index, at, sent}. */
let pending = null;
let keeping = 0;
let seq = 0;
let settled = 0;
/** Whether what is tried has one point more than the list. */
let adding = false;
let hand = null;
let gesture = null;
let leaving = new AbortController();
let picked = "";

const rings = (index) => hand.querySelectorAll(`[data-bend="${index}"]`);
const line = (index) => home.querySelector(`[data-point="${index}"]`);
const saved = (index) => line(index).dataset.mm.split(" ").map(Number);
const now = (index) => (pending?.index === index ? pending.at : saved(index));
const same = (a, b) => a.every((value, i) => value === b[i]);

export function startPipes() {
  home.addEventListener("keydown", press);
  home.addEventListener("focusout", (event) => {
    if (indexOf(event.target) >= 0 && event.relatedTarget && !gesture?.isDragging()) keep();
  });
  home.addEventListener("bench:refused", putBack);
  document.addEventListener("visibilitychange", () => {
    if (document.visibilityState === "hidden") keep();
  });
  trying.addEventListener("htmx:before:swap", (event) => {
    const sent = new URLSearchParams(event.detail.ctx.request.body);
    if (Number(sent.get("seq")) <= settled || sent.get("pipe") !== view().pipe) event.preventDefault();
  });
  trying.addEventListener("htmx:after:swap", follow);
}

/** After a new page or a new label came in: the rings are new, and what was moved meanwhile stays in the hand. */
export function takeUpPipe() {
  const fresh = document.getElementById("pipe-hand");
  if (fresh !== hand) listenTo(fresh);
  if (view().pipe !== picked) showDrawing();
  if (!pending) return;
  if (pending.sent || !line(pending.index) || same(pending.at, saved(pending.index))) pending = null;
  else if (!gesture.isDragging()) keepSoon();
}

/** On a phone, where its figures stand at the foot of the screen, the drawing comes into sight with a pipe just picked. */
function showDrawing() {
  picked = view().pipe;
  if (picked && mode() === "phone") home.querySelector(".stage").scrollIntoView({ block: "start" });
}

/** Only the picked pipe listens to the pointer: a piece under the hand passes nothing of this. */
function listenTo(fresh) {
  leaving.abort();
  leaving = new AbortController();
  hand = fresh;
  gesture = gestures(hand, { grab, begin: () => {}, move, drop, cancel, tap, signal: leaving.signal });
  hand.addEventListener("pointerdown", (event) => event.stopPropagation());
  hand.addEventListener("touchstart", (event) => {
    if (event.touches.length === 1 && event.target.closest("[data-bend], [data-stretch]")) event.preventDefault();
  }, { passive: false });
}

const faceOf = (one) => handles().faces.find(({ edge }) => edge === Number(one.dataset.face));

/** Where the hand is on what a ring stands on: on the plan in room mm, on a face from its left corner and up. */
const under = (one, event) => {
  const matrix = one.dataset.face ? faceOf(one).matrix : handles().plan;
  return apply(inverse(matrix), inDrawing(drawing(), event));
};

function indexOf(target) {
  const part = target.closest?.("[data-bend], [data-point]");
  return part ? Number(part.dataset.bend ?? part.dataset.point) : -1;
}

function grab(event) {
  const stretch = event.target.closest("[data-stretch]");
  if (stretch) return { stretch, start: placeOn(stretch, event), from: under(stretch, event) };
  const top = event.target.closest("[data-bend]");
  const index = ofPile(pile(top, event));
  return { index, top, start: now(index), from: under(top, event) };
}

/** Where on the stretch the hand is, in the room. */
function placeOn(stretch, event) {
  const ends = stretch.dataset.ends.split(" ").map(Number);
  const { face } = stretch.dataset;
  return face ? onStretchOf(handles().walls[face], ends, under(stretch, event)) : onStretch(ends, under(stretch, event));
}

/** The points whose rings lie on one another on the plan or a face, the nearest to the hand first. */
function pile(top, event) {
  const onSame = [...hand.querySelectorAll("[data-bend]")].filter((one) => one.dataset.face === top.dataset.face);
  const far = (one, [x, y]) => {
    const { e, f } = one.transform.baseVal[0].matrix;
    return Math.hypot(e - x, f - y);
  };
  const { e, f } = top.transform.baseVal[0].matrix;
  const hit = inDrawing(drawing(), event);
  const there = onSame.filter((one) => far(one, [e, f]) < PILE_PX).sort((a, b) => far(a, hit) - far(b, hit));
  return there.map((one) => Number(one.dataset.bend));
}

/** Of a pile the point that is open in the list, else the nearest. */
const ofPile = (indices) => indices.find((index) => line(index).parentElement.open) ?? indices[0];

function move(held, event) {
  if (held.stretch) return pull(held, event);
  if (held.index === undefined || isPinned(held.index)) return;
  shift(held.index, placeOf(held, held.top, event));
}

/** Where what was taken hold of on a ring or a stretch has been carried to. */
function placeOf(held, one, event) {
  const [x, y] = under(one, event);
  const by = [x - held.from[0], y - held.from[1]];
  const { scale, walls } = handles();
  const { face } = one.dataset;
  return face ? movedOnWall(held.start, by, walls[face], scale, event.altKey) : movedBy(held.start, by, scale, event.altKey);
}

/** A bend that is being pulled out of a stretch: its line and figures follow, and it is put in when the hand lets go. */
function pull(held, event) {
  held.at = placeOf(held, held.stretch, event);
  tryOut(Number(held.stretch.dataset.stretch), held.at, "yes");
}

function drop(held) {
  if (!held.stretch) return keep();
  settled = seq;
  const [x, y, z] = held.at;
  change({ do: "pipe-point", index: held.stretch.dataset.stretch, x, y, z });
}

function cancel(held) {
  if (!held.stretch) return putBack();
  tryOut(Number(held.stretch.dataset.stretch), held.start, "yes");
}

function tap(held, event) {
  if (held.stretch) return putIn(held);
  const indices = pile(held.top, event);
  const isOpen = line(held.index).parentElement.open;
  const next = isOpen ? indices[(indices.indexOf(held.index) + 1) % indices.length] : held.index;
  open(next);
}

function open(index) {
  line(index).parentElement.open = true;
  line(index).focus();
}

function putIn({ stretch, start: [x, y, z] }) {
  change({ do: "pipe-point", index: stretch.dataset.stretch, x, y, z });
}

/** Puts a point to a place, seen at once; the line and the figures follow as the server has them. */
function shift(index, at) {
  if (isPinned(index)) return;
  if (pending && pending.index !== index) keep();
  if (same(at, now(index))) return;
  pending = { index, at, sent: false };
  place(index, at);
  write(index, at);
  tryOut(index, at);
}

/** A pinned point stays, and says how it can be moved. */
function isPinned(index) {
  const pinned = "pinned" in line(index).dataset;
  if (pinned) say(`Point ${index + 1} is pinned: take the pin out first.`, 0);
  return pinned;
}

/** Writes the place of a point into its line of the list and its blanks, but not under somebody's hand. */
function write(index, at) {
  const words = line(index)?.querySelector("[data-at]");
  if (words) words.textContent = `${at[0]}, ${at[1]}, ${at[2]} up`;
  ["x", "y", "z"].forEach((name, i) => {
    const blank = document.getElementById(`point-${index}-${name}`);
    if (blank && blank !== document.activeElement) blank.value = at[i];
  });
}

/** Puts the rings of a point where it is now, on the plan and on the faces. */
function place(index, at) {
  for (const one of rings(index)) {
    const face = one.dataset.face && faceOf(one);
    const [x, y] = face ? apply(face.matrix, onWall(handles().walls[face.edge], at)) : apply(handles().plan, at);
    one.setAttribute("transform", `translate(${x.toFixed(1)},${y.toFixed(1)})`);
  }
}

function tryOut(index, [x, y, z], adds = "") {
  seq += 1;
  adding = Boolean(adds);
  const { layout, pipe, quarters, wall } = view();
  const blanks = Object.entries({ layout, pipe, quarters, wall, index, x, y, z, adds, seq }).map(([name, value]) => {
    const blank = document.createElement("input");
    Object.assign(blank, { type: "hidden", name, value });
    return blank;
  });
  trying.replaceChildren(...blanks);
  trying.dispatchEvent(new CustomEvent("pipe:moved"));
}

/** The answer is there: points beside the moved one have gone along, in the list and on the plan. */
function follow() {
  if (adding) return;
  [...document.getElementById("pipe-places").children].forEach((told, index) => {
    if (pending?.index === index) return;
    const at = told.textContent.split(" ").map(Number);
    place(index, at);
    write(index, at);
  });
  const rows = [...home.querySelectorAll("#pipe-figures tr, #pipe-figures .trouble-line")];
  const figures = rows.map((row) => row.textContent.replace(/\s+/g, " ").trim()).join("; ");
  if (pending) say(`Point ${pending.index + 1} at ${line(pending.index).querySelector("[data-at]").textContent}. ${figures}`, 600);
}

function keep() {
  clearTimeout(keeping);
  if (!pending || pending.sent) return;
  const { index, at } = pending;
  if (!line(index) || same(at, saved(index))) return putBack();
  pending.sent = true;
  settled = seq;
  const [x, y, z] = at;
  change({ do: "pipe-bend", index, x, y, z });
}

/** Saves when no key has been pressed for a while: a run of presses is one step. */
function keepSoon() {
  clearTimeout(keeping);
  keeping = setTimeout(keep, KEEP_AFTER_MS);
}

/** Shows the saved place again. */
function putBack() {
  clearTimeout(keeping);
  if (!pending) return;
  const { index } = pending;
  pending = null;
  if (!line(index)) return;
  place(index, saved(index));
  write(index, saved(index));
  tryOut(index, saved(index));
}

function press(event) {
  const index = indexOf(event.target);
  if (index < 0 && !event.target.closest?.(".pipe-held, .pipes-of")) return;
  const deed = deedOf(event);
  if (!deed) return;
  event.stopPropagation();
  if (deed.do === "put-back") return escape(event);
  if (index < 0 || (deed.do === "pick" && event.target.dataset.point)) return;
  event.preventDefault();
  if (deed.do === "pick") return open(index);
  if (deed.do === "remove") return takeOut(index);
  if (deed.do === "move") shift(index, onScreen(now(index), deed.right, deed.down));
  if (deed.do === "raise") shift(index, movedTo(now(index), [0, 0, deed.mm]));
  keepSoon();
}

/** A move in screen directions as one in the room; where no plan is shown, right is across and up is away. */
function onScreen(at, right, down) {
  const { plan, scale } = handles();
  const [x, y] = plan ? swept(inverse(plan), [right * scale, down * scale]) : [right, -down];
  return movedTo(at, [x, y, 0]);
}

const movedTo = (at, by) => at.map((value, i) => Math.round((value + by[i]) * 10) / 10);

function takeOut(index) {
  clearTimeout(keeping);
  pending = null;
  change({ do: "pipe-point-out", index });
}

/** Escape: a point in hand goes back to its place; otherwise the pipe is let go. */
function escape(event) {
  event.preventDefault();
  if (pending) return putBack();
  document.getElementById("let-pipe-go")?.click();
}
