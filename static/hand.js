// The piece in hand: moved on the page at once, tried on the server, and saved when the hand lets go or rests.
import { change, tryOut } from "./changes.js";
import { mark, show } from "./moving.js";
import { beside, drawing, handles, inOne, pieceOf, say, surroundings } from "./page.js";
import { along } from "./several.js";
import { equalWords, lay, takeUp } from "./tape.js";

const KEEP_AFTER_MS = 700;

/** The piece that was moved but is not saved yet: {id, place, sent}. */
let pending = null;
let keeping = 0;

export const isInHand = (id) => pending !== null && (id === undefined || pending.id === id);

function savedPlace(id) {
  const { x, y, turn, base } = pieceOf(id);
  return { x, y, turn, base };
}

/** Where a piece is now, saved or not. */
export const placeNow = (id) => (isInHand(id) ? pending.place : savedPlace(id));

/** A piece and all that goes along with it, shown where they come to when it goes to a place. */
function showAll(id, place) {
  for (const one of [id, ...beside(id)]) {
    show(drawing(), handles(), pieceOf(one), one === id ? place : along(savedPlace(id), place, savedPlace(one)));
  }
}

/** What is asked of the server about a piece and all that goes along with it. */
const withAll = (id) => (beside(id).length ? { piece: id, pieces: beside(id).join(" ") } : { piece: id });

export const same = (a, b) => a.x === b.x && a.y === b.y && a.base === b.base && (a.turn - b.turn) % 360 === 0;

/**
 * Puts a piece to a new place, seen at once and tried on the server. `rest` is what it came to rest against, `edge` the
 * wall on whose face it is moved.
 */
export function shift(id, place, rest = null, edge = null) {
  const piece = pieceOf(id);
  if (pending && pending.id !== id) keep();
  pending = { id, place, sent: false };
  showAll(id, place);
  lay(drawing(), handles(), inOne(id), place, surroundings(id), rest?.equal, edge);
  mark(drawing(), [id, ...beside(id)]);
  tryOut(withAll(id), place);
  if (rest && (rest.against.length || rest.inLine.length || rest.equal.length)) say(`${piece.name} ${restWords(rest)}.`);
}

const inSentence = (name) => (/^[A-Z][a-z]/.test(name) ? `the ${name[0].toLowerCase()}${name.slice(1)}` : name);

function restWords({ against, inLine, clearOf, equal }) {
  const parts = [];
  if (against.length) parts.push(`against ${against.map(inSentence).join(" and ")}`);
  if (clearOf.length) parts.push(`just clear of ${clearOf.map(inSentence).join(" and ")}`);
  if (inLine.length) parts.push(`in line with ${inLine.map(inSentence).join(" and ")}`);
  if (equal.length) parts.push(equalWords(equal));
  return parts.join(", ");
}

/** Saves what is in hand, if it differs from what is saved. */
export function keep() {
  clearTimeout(keeping);
  if (!pending) return;
  const { id, place } = pending;
  if (!pieceOf(id) || same(place, savedPlace(id))) return putBack();
  if (pending.sent) return;
  pending.sent = true;
  change({ do: "move", ...withAll(id), also: beside(id).join(" "), x: place.x, y: place.y, turn: place.turn, base_mm: place.base });
}

/** Saves it when no key has been pressed for a while: a run of presses is one step. */
export function keepSoon() {
  clearTimeout(keeping);
  keeping = setTimeout(keep, KEEP_AFTER_MS);
}

/** Shows the saved place again. */
export function putBack() {
  clearTimeout(keeping);
  if (!pending) return;
  const { id } = pending;
  pending = null;
  takeUp(drawing());
  if (!pieceOf(id)) return;
  showAll(id, savedPlace(id));
  tryOut(withAll(id), savedPlace(id));
}

/** Lets go without putting back: the piece is on its way out of the room. */
export function forget() {
  clearTimeout(keeping);
  pending = null;
}

/** After a new page came in: what was moved on while a save was under way stays where the hand has it. */
export function goOn(isDragging) {
  if (!pending) return;
  const { id, place } = pending;
  if (!pieceOf(id) || same(place, savedPlace(id))) return forget();
  pending.sent = false;
  showAll(id, place);
  if (!isDragging) keepSoon();
}
