// After the page came in or changed: the label and the inset go to free corners, notes beside their pins, leaders last.
import { leaders } from "./leaders.js";
import { freeCorner, nearestPlace, overlaps, placeNotes } from "./notes.js";
import { bringOpened } from "./opened.js";
import { bench, drawing, handles, home, mode, view } from "./page.js";

const SVG = "http://www.w3.org/2000/svg";
const MARGIN_PX = 236;
const CARD_PX = { least: 212, most: 226 };
const NOTE_PX = { least: 190, most: 226 };
const CORNERS = ["tr", "br", "tl", "bl"];
const PIN_PX = 11;
const INSIDE_PX = 14;
const FOOT_PX = 26;
const LEAST_CORNER_PX = 60;
const FARTHEST_PX = 240;
const LONGEST_LEADER_PX = 400;
const REST_MS = 80;
/** A hand that drags rests longer between two moves, and setting out takes as long as a whole frame. */
const DRAGGED_REST_MS = 240;
/** What it costs to hide a part of the drawing, beside the paper of a wall: the plan, where pieces are moved, costs most. */
const WEIGHS = { plan: 6, kit: 4, taken: 1000 };

let before = new Map();
let settledAs = "";
let resting = 0;
/** Where the label of which piece stands: turned over, or made again by a change, it stays there. */
let label = null;

/** What the places of notes and leaders hang on: which notes there are, and where their pins stand. */
function state() {
  const notes = [...home.querySelectorAll(".note:not([data-sifted])")].map((note) => note.dataset.key);
  const discs = [...home.querySelectorAll("#marks .pin:not([data-sifted]) circle:not(.hit)")];
  const pins = discs.map((one) => [one.getAttribute("cx"), one.getAttribute("cy")]);
  return JSON.stringify([notes, pins]);
}

/** After an answer in the middle of a drag: notes stay where they are; their lines go until the piece rests. */
export function arrangeWhenAtRest() {
  if (!resting && state() === settledAs) return;
  home.querySelector("#leaders")?.replaceChildren();
  clearTimeout(resting);
  resting = setTimeout(arrange, document.body.classList.contains("dragging") ? DRAGGED_REST_MS : REST_MS);
}

/** Sets everything out anew. */
export function arrange() {
  clearTimeout(resting);
  resting = 0;
  settledAs = state();
  const page = bench();
  if (mode() === "phone") return bringOpened();
  const seen = rectsOf(page);
  const taken = seen.fixed;
  const near = drawing().classList.contains("near");
  const free = CORNERS.map((name) => held(name, freeCorner(seen.stage, seen.occupied, name)));
  const corners = near ? [] : free.filter((area) => area.w > LEAST_CORNER_PX);
  const areas = [...corners, ...(seen.margin && !near ? [seen.margin] : [])];
  float(page.querySelector(".card"), corners, seen, pieceTarget(seen), taken);
  stand(page.querySelector(".inset-box"), corners, areas, pinTarget(seen), taken);
  const notes = setNotes(page, areas, taken);
  bringOpened();
  standKey(page.querySelector(".key"), seen.margin, [...taken, ...before.values()]);
  drawLeaders(page, notes, taken, near);
}

const held = (name, area) => ({ ...inset(area, name), hold: name.endsWith("r") ? "right" : "left" });

/** A corner without its outer edge: nothing touches the rules of the page. */
function inset(area, name) {
  const x = name.endsWith("l") ? area.x + INSIDE_PX : area.x;
  const y = name.startsWith("t") ? area.y + INSIDE_PX : area.y;
  const edge = name.startsWith("t") ? INSIDE_PX : FOOT_PX;
  return { x, y, w: area.w - INSIDE_PX, h: area.h - edge };
}

function rectsOf(page) {
  const origin = page.getBoundingClientRect();
  const rect = (element) => {
    const { left, top, width, height } = element.getBoundingClientRect();
    return { x: left - origin.left, y: top - origin.top, w: width, h: height };
  };
  const stage = rect(page.querySelector(".stage"));
  const { faces, planBox } = handles();
  const boxes = [...faces.map((face) => face.box), ...(planBox ? [planBox] : [])];
  const drawn = boxes.map(([x0, y0, x1, y1]) => ({ x: stage.x + x0, y: stage.y + y0, w: x1 - x0, h: y1 - y0 }));
  const occupied = [...drawn, ...[...page.querySelectorAll("#paper .wallname, #paper .dim")].map(rect)];
  const fixed = [".cart", ".hand", ".earlier"].map((name) => page.querySelector(name)).filter(Boolean).map(rect);
  const margin = mode() === "wide" ? leftMargin(rect(page.querySelector(".cart")), rect(page.querySelector(".hand"))) : null;
  const plan = planBox ? drawn.slice(-1) : [];
  return { origin, rect, stage, occupied, plan, fixed, margin };
}

/** The left margin between the counts and the commands. */
function leftMargin(cart, hand) {
  const y = cart.y + cart.h + 16;
  return { x: cart.x, y, w: MARGIN_PX, h: hand.y - 12 - y, hold: "left" };
}

function pieceTarget(seen) {
  const id = view().piece;
  const parts = id ? [...home.querySelectorAll(`#kit [data-piece="${CSS.escape(id)}"]`)] : [];
  return parts[0] ? middle(seen.rect(parts[0])) : middle(seen.stage);
}

function pinTarget(seen) {
  const pin = home.querySelector("#marks .pin.on");
  return pin ? middle(seen.rect(disc(pin))) : middle(seen.stage);
}

const disc = (pin) => pin.querySelector("circle:not(.hit)");
const middle = ({ x, y, w, h }) => ({ x: x + w / 2, y: y + h / 2 });

/** The label: in the nearest free corner, else where it hides least kit; not in the margin, where it could not grow. */
function float(box, corners, seen, target, taken) {
  if (!box) return;
  const size = () => ({ w: box.offsetWidth, h: box.offsetHeight });
  box.style.maxHeight = "";
  if (box.querySelector(".pipe-held")) return beside(box, seen, taken);
  const turned = box.querySelector("details[open]");
  if (turned && label?.piece === box.dataset.card) return stay(box, seen, taken);
  const place = (rect) => {
    label = { piece: box.dataset.card, x: rect.x, y: rect.y };
    put(box, rect, taken);
  };
  const widest = Math.max(0, ...corners.map((area) => area.w));
  box.style.width = turned ? "" : `${Math.floor(Math.min(CARD_PX.most, Math.max(CARD_PX.least, widest)))}px`;
  const corner = nearestPlace(size(), corners, taken, [target]);
  if (corner) return place(corner);
  if (!turned) box.style.width = `${CARD_PX.most}px`;
  place(leastHidden(size(), seen, taken));
}

/** A label that is turned over is larger: it grows where it stands, as far as the page goes, but not over the title. */
function stay(box, seen, taken) {
  const { stage } = seen;
  box.style.width = "";
  const size = { w: box.offsetWidth, h: box.offsetHeight };
  const x = Math.max(INSIDE_PX, Math.min(label.x, stage.x + stage.w - size.w - INSIDE_PX));
  const y = Math.max(INSIDE_PX, Math.min(label.y, stage.y + stage.h - size.h - INSIDE_PX));
  const here = { x, y, ...size };
  const covers = taken.some((one) => overlaps(one, here));
  put(box, covers ? leastHidden(size, seen, taken) : here, taken);
}

/** A pipe is drawn on the plan: its label keeps off the drawing, in a margin, and leaves the commands free. */
function beside(box, { stage, rect }, taken) {
  const wide = mode() === "wide";
  const nav = rect(home.querySelector(".nav"));
  const hand = rect(home.querySelector(".hand"));
  const x = wide ? INSIDE_PX : stage.x + stage.w + 6;
  const y = wide ? INSIDE_PX : nav.y + nav.h;
  const said = document.getElementById("status");
  const margin = said.textContent && !wide ? rect(said).y : Infinity;
  const foot = Math.min(wide || hand.x > stage.w ? hand.y : stage.h, margin);
  box.style.width = "";
  box.style.maxHeight = `${foot - y - INSIDE_PX}px`;
  label = null;
  put(box, { x, y, w: box.offsetWidth, h: box.offsetHeight }, taken);
}

/** The inset: only where there is room for it. */
function stand(box, corners, areas, target, taken) {
  if (!box) return;
  const size = { w: box.offsetWidth, h: box.offsetHeight };
  const free = nearestPlace(size, corners, taken, [target]) ?? nearestPlace(size, areas, taken, [target]);
  box.classList.toggle("no-room", !free);
  if (free) put(box, free, taken);
}

function put(box, rect, taken) {
  box.style.left = `${rect.x}px`;
  box.style.top = `${rect.y}px`;
  taken.push(rect);
}

/** A place over the drawing that hides as little of it as can be, and of its kit least of all. */
function leastHidden(size, { stage, occupied, plan, rect }, taken) {
  const kit = [...home.querySelectorAll("#kit [data-piece], #kit [data-face-piece], #marks .pin")].map(rect);
  const xs = [0, 0.25, 0.5, 0.75, 1].map((share) => stage.x + INSIDE_PX + share * (stage.w - size.w - 2 * INSIDE_PX));
  const ys = [stage.y + INSIDE_PX, stage.y + stage.h - size.h - INSIDE_PX];
  const tries = xs.flatMap((x) => ys.map((y) => ({ x, y: Math.max(y, stage.y), ...size })));
  const hidden = (rects, place) => rects.filter((one) => overlaps(one, place)).reduce((sum, one) => sum + shared(one, place), 0);
  const cost = (place) => hidden(occupied, place) + WEIGHS.plan * hidden(plan, place) + WEIGHS.kit * hidden(kit, place)
    + WEIGHS.taken * hidden(taken, place);
  return tries.sort((a, b) => cost(a) - cost(b))[0];
}

function shared(a, b) {
  const w = Math.min(a.x + a.w, b.x + b.w) - Math.max(a.x, b.x);
  const h = Math.min(a.y + a.h, b.y + b.h) - Math.max(a.y, b.y);
  return w * h;
}

function setNotes(page, areas, taken) {
  const seen = rectsOf(page);
  const list = [...page.querySelectorAll(".note:not([data-sifted])")];
  for (const note of list) delete note.dataset.out;
  const movable = mode() === "wide" && !page.querySelector(".notes.grouped") ? list.filter((note) => !note.classList.contains("on")) : [];
  const width = widthIn(areas);
  for (const note of list) note.style.width = movable.includes(note) ? `${width}px` : "";
  const asked = movable.map((note) => ({
    key: note.dataset.key,
    size: { w: width, h: note.offsetHeight },
    targets: pinsOf(note).map((pin) => middle(seen.rect(disc(pin)))),
  }));
  const placed = placeNotes(asked.filter((note) => note.targets.length), areas, taken, before, FARTHEST_PX);
  before = placed;
  for (const note of list) {
    const rect = placed.get(note.dataset.key);
    if (rect) note.dataset.out = "";
    if (!rect) note.style.width = "";
    note.style.left = rect ? `${rect.x}px` : "";
    note.style.top = rect ? `${rect.y}px` : "";
  }
  return list;
}

/** What the lines mean, at the foot of the left margin while there is room. */
function standKey(key, margin, taken) {
  if (!margin) return;
  const rect = { x: margin.x, y: margin.y + margin.h - key.offsetHeight, w: margin.w, h: key.offsetHeight };
  const fits = rect.y >= margin.y && !taken.some((one) => overlaps(one, rect));
  key.classList.toggle("fits", fits);
  key.style.left = `${rect.x}px`;
  key.style.top = `${rect.y}px`;
}

/** How wide the notes are that leave the list: as the narrowest corner that can take one. */
function widthIn(areas) {
  const wide = areas.map((area) => area.w).filter((w) => w >= NOTE_PX.least);
  return Math.floor(Math.min(NOTE_PX.most, ...wide));
}

/** The pins of a note that can be seen: a row of walls may be scrolled away. */
function pinsOf(note) {
  const { left, right } = home.querySelector(".stage").getBoundingClientRect();
  return [...home.querySelectorAll(`#marks .pin[data-key="${CSS.escape(note.dataset.key)}"]`)].filter((pin) => {
    const box = disc(pin).getBoundingClientRect();
    return box.left + box.width / 2 > left && box.left + box.width / 2 < right;
  });
}

function pinRect(pin, seen) {
  const { x, y } = middle(seen.rect(disc(pin)));
  return { key: pin.dataset.key, x: x - PIN_PX, y: y - PIN_PX, w: 2 * PIN_PX, h: 2 * PIN_PX };
}

function drawLeaders(page, notes, taken, near) {
  const sheet = page.querySelector("#leaders");
  sheet.replaceChildren();
  if (near) return;
  const seen = rectsOf(page);
  const margin = seen.rect(page.querySelector(".margin"));
  const items = notes
    .map((note) => ({ note, rect: seen.rect(note), on: note.classList.contains("on"), out: "out" in note.dataset }))
    .filter(({ rect, out }) => out || (rect.y >= margin.y && rect.y + 20 <= margin.y + margin.h))
    .filter(({ on }) => on || mode() === "wide")
    .map(({ note, rect, on }) => ({
      key: note.dataset.key, always: on, note: rect,
      pins: pinsOf(note).map((pin) => ({ ...middle(seen.rect(disc(pin))), r: PIN_PX })),
    }));
  items.sort((a, b) => Number(Boolean(b.always)) - Number(Boolean(a.always)));
  const pins = [...home.querySelectorAll("#marks .pin")].map((pin) => pinRect(pin, seen));
  const words = [...home.querySelectorAll("#kit .with text, #paper .wallname, #paper .dim")].map(seen.rect);
  const others = [...taken.slice(seen.fixed.length), ...pins, ...words];
  for (const line of leaders(items, others, LONGEST_LEADER_PX)) {
    const path = document.createElementNS(SVG, "path");
    path.setAttribute("class", "lead");
    path.setAttribute("d", `M${line.points.map((point) => point.map((v) => v.toFixed(1))).join("L")}`);
    sheet.append(path);
  }
}
