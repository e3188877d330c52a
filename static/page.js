// The parts of the page that every module looks up, and what the server wrote on them.
import { turned } from "./coordinates.js";
import { asOne } from "./several.js";

export const root = document.getElementById("workbench");
export const home = document.getElementById("bench");
export const bench = () => home.querySelector(".bench");
export const drawing = () => document.getElementById("drawing");
export const mode = () => ["wide", "medium", "phone"].find((name) => bench().classList.contains(name));

let read = { from: null, handles: null };

/** Pieces, walls and matrices of the layout on the page. */
export function handles() {
  const from = bench();
  if (read.from !== from) read = { from, handles: JSON.parse(from.dataset.handles) };
  return read.handles;
}

export const pieceOf = (id) => handles().pieces.find((piece) => piece.id === id);

/** What is picked and how the page is held: the fields that go along with every request. */
export function view() {
  return Object.fromEntries(new FormData(document.getElementById("view")));
}

/** The ids of all that is picked, the first first. */
export function picked() {
  const { piece, also } = view();
  return [piece, ...(also ?? "").split(" ")].filter((id) => id && pieceOf(id));
}

/** What goes along with a piece: the rest of what is picked, if it is picked itself. */
export function beside(id) {
  const ids = picked();
  return ids.includes(id) ? ids.filter((one) => one !== id) : [];
}

/** A piece with all that goes along with it, as one that moves. */
export function inOne(id) {
  const others = beside(id);
  return others.length ? asOne([id, ...others].map(pieceOf)) : pieceOf(id);
}

/** Everything a piece can come to rest against, in room mm. */
export function surroundings(exceptId) {
  const { walls, pieces, fixtures } = handles();
  const moving = [exceptId, ...beside(exceptId)];
  return { walls, others: [...pieces.filter((piece) => !moving.includes(piece.id)).map(inRoom), ...fixtures] };
}

/** A piece with its plan in the room. */
export function inRoom(piece) {
  const points = piece.points.map((point) => turned(point, piece.turn)).map(([x, y]) => [x + piece.x, y + piece.y]);
  return { ...piece, points };
}

const STANDS_MS = 9000;
let speaking = 0;

/** The line has a place of its own at the foot of the margin: what lies there makes room, or takes it back. */
function show(line, words) {
  line.textContent = words;
  home.style.setProperty("--said", words ? `${line.offsetHeight + 8}px` : "");
  home.dispatchEvent(new CustomEvent("bench:said"));
}

/** Says something in the message line, once the hand rests; after a while the line is clear again. */
export function say(words, waitMs = 350) {
  clearTimeout(speaking);
  speaking = setTimeout(() => {
    const line = document.getElementById("status");
    if (line.textContent !== words) show(line, words);
    speaking = setTimeout(() => show(line, ""), STANDS_MS);
  }, waitMs);
}
