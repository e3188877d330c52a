// After the page came in or changed: the label and the inset go to free corners, notes beside their pins, leaders last.
import { leaders } from "./leaders.js";
import { freeCorner, nearestPlace, overlaps, placeNotes } from "./notes.js";
import { bench, drawing, handles, home, mode, view } from "./page.js";

const SVG = "http://www.w3.org/2000/svg";
const NOTE_WIDTHS = { margin: 236, corner: 226 };
const CORNERS = ["tr", "br", "tl", "bl"];
const PIN_PX = 11;
const INSIDE_PX = 14;
const FARTHEST_PX = 240;
const LONGEST_LEADER_PX = 400;

let before = new Map();

/** Sets everything out anew. Cheap enough to be done after every answer of a drag. */
export function arrange() {
  const page = bench();
  if (mode() === "phone") return;
  const seen = rectsOf(page);
  const taken = seen.fixed;
  const near = drawing().classList.contains("near");
  const corners = near ? [] : CORNERS.map((name) => held(name, freeCorner(seen.stage, seen.occupied, name))).filter((area) => area.w > 60);
  float(page.querySelector(".card"), corners, seen, pieceTarget(seen), taken);
  float(page.querySelector(".inset-box"), corners, seen, pinTarget(seen), taken);
  const notes = setNotes(page, near ? [] : [...corners, seen.margin].filter(Boolean), taken);
  drawLeaders(page, notes, taken, near);
}

const held = (name, area) => ({ ...inset(area, name), hold: name.endsWith("r") ? "right" : "left" });

/** A corner without its outer edge: nothing touches the rules of the page. */
function inset(area, name) {
  const x = name.endsWith("l") ? area.x + INSIDE_PX : area.x;
  const y = name.startsWith("t") ? area.y + INSIDE_PX : area.y;
  return { x, y, w: area.w - INSIDE_PX, h: area.h - INSIDE_PX };
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
  const occupied = boxes.map(([x0, y0, x1, y1]) => ({ x: stage.x + x0, y: stage.y + y0, w: x1 - x0, h: y1 - y0 }));
  const fixed = [".cart", ".hand", ".earlier"].map((name) => page.querySelector(name)).filter(Boolean).map(rect);
  const margin = mode() === "wide" ? leftMargin(rect(page.querySelector(".cart")), rect(page.querySelector(".hand"))) : null;
  return { origin, rect, stage, occupied, fixed, margin };
}

/** The left margin between the counts and the commands. */
function leftMargin(cart, hand) {
  const y = cart.y + cart.h + 16;
  return { x: cart.x, y, w: NOTE_WIDTHS.margin, h: hand.y - 12 - y, hold: "left" };
}

function pieceTarget(seen) {
  const id = view().piece;
  const parts = id ? [...home.querySelectorAll(`#kit [data-piece="${CSS.escape(id)}"]`)] : [];
  return parts[0] ? middle(seen.rect(parts[0])) : middle(seen.stage);
}

function pinTarget(seen) {
  const pin = home.querySelector("#marks .pin.on");
  return pin ? middle(seen.rect(pin)) : middle(seen.stage);
}

const middle = ({ x, y, w, h }) => ({ x: x + w / 2, y: y + h / 2 });

/** Puts a box into the nearest free corner; where none is large enough, over the corner that hides least. */
function float(box, corners, seen, target, taken) {
  if (!box) return;
  const size = { w: box.offsetWidth, h: box.offsetHeight };
  const rect = nearestPlace(size, corners, taken, [target]) ?? leastHidden(size, seen, taken, target);
  box.style.left = `${rect.x}px`;
  box.style.top = `${rect.y}px`;
  taken.push(rect);
}

function leastHidden(size, { stage, occupied }, taken, target) {
  const xs = [stage.x + INSIDE_PX, stage.x + stage.w - size.w - INSIDE_PX];
  const ys = [stage.y + INSIDE_PX, stage.y + stage.h - size.h - INSIDE_PX];
  const tries = xs.flatMap((x) => ys.map((y) => ({ x, y: Math.max(y, stage.y), ...size })));
  const cost = (rect) => occupied.filter((one) => overlaps(one, rect)).reduce((sum, one) => sum + shared(one, rect), 0)
    + (taken.some((one) => overlaps(one, rect)) ? 1e7 : 0)
    + (overlaps(rect, { x: target.x - 30, y: target.y - 30, w: 60, h: 60 }) ? 1e6 : 0);
  return tries.sort((a, b) => cost(a) - cost(b))[0];
}

function shared(a, b) {
  const w = Math.min(a.x + a.w, b.x + b.w) - Math.max(a.x, b.x);
  const h = Math.min(a.y + a.h, b.y + b.h) - Math.max(a.y, b.y);
  return w * h;
}

function setNotes(page, areas, taken) {
  const seen = rectsOf(page);
  const list = [...page.querySelectorAll(".note")];
  for (const note of list) note.classList.remove("out");
  const movable = mode() === "wide" ? list.filter((note) => !note.classList.contains("on")) : [];
  for (const note of movable) note.classList.add("measured");
  const asked = movable.map((note) => ({ key: note.dataset.key, size: sizeOf(note), targets: pinsOf(note).map((pin) => middle(seen.rect(pin))) }));
  for (const note of movable) note.classList.remove("measured");
  const placed = placeNotes(asked.filter((note) => note.targets.length), areas, taken, before, FARTHEST_PX);
  before = placed;
  for (const note of list) {
    const rect = placed.get(note.dataset.key);
    note.classList.toggle("out", Boolean(rect));
    note.style.left = rect ? `${rect.x}px` : "";
    note.style.top = rect ? `${rect.y}px` : "";
  }
  return list;
}

const sizeOf = (note) => ({ w: NOTE_WIDTHS.corner, h: note.offsetHeight });

const pinsOf = (note) => [...home.querySelectorAll(`#marks .pin[data-key="${CSS.escape(note.dataset.key)}"]`)];

function drawLeaders(page, notes, taken, near) {
  const sheet = page.querySelector("#leaders");
  sheet.replaceChildren();
  if (near) return;
  const seen = rectsOf(page);
  const margin = seen.rect(page.querySelector(".margin"));
  const items = notes
    .map((note) => ({ note, rect: seen.rect(note), on: note.classList.contains("on"), out: note.classList.contains("out") }))
    .filter(({ rect, out }) => out || (rect.y >= margin.y && rect.y + 20 <= margin.y + margin.h))
    .filter(({ on }) => on || mode() === "wide")
    .map(({ note, rect, on }) => ({
      key: note.dataset.key, always: on, note: rect,
      pins: pinsOf(note).map((pin) => ({ ...middle(seen.rect(pin.querySelector("circle:not(.hit)"))), r: PIN_PX })),
    }));
  items.sort((a, b) => Number(Boolean(b.always)) - Number(Boolean(a.always)));
  const others = taken.slice(seen.fixed.length);
  for (const line of leaders(items, others, LONGEST_LEADER_PX)) {
    const path = document.createElementNS(SVG, "path");
    path.setAttribute("class", "lead");
    path.setAttribute("d", `M${line.points.map((point) => point.map((v) => v.toFixed(1))).join("L")}`);
    sheet.append(path);
  }
}
