// The keyboard: on a piece, everything the pointer does; anywhere, one step back and forth.
import { change } from "./changes.js";
import { inverse, swept } from "./coordinates.js";
import { toggleEverything } from "./everything.js";
import { forget, isInHand, keep, keepSoon, placeNow, putBack, shift } from "./hand.js";
import { deedOf, pageDeedOf } from "./nudge.js";
import { beside, handles, home, pieceOf, say, view } from "./page.js";
import { closeNote, pickMore, pickPiece, toggleMore } from "./pick.js";
import { aboutTheMiddle } from "./several.js";
import { holdTurn, isDragging } from "./plan.js";
import { restsOn } from "./snap.js";

const WRITING = "input, textarea, select";
const MENUS = "#more[open], #show[open], #accept[open], #swap[open]";

export function startKeys() {
  document.addEventListener("keydown", (event) => {
    const history = pageDeedOf(event);
    if (history) return stepBackOrForth(event, history);
    if (event.key === "Escape" && shutMenu()) return event.preventDefault();
    if (event.target.matches?.(WRITING)) return;
    if (isAll(event)) return toggleEverything();
    const on = event.target.closest?.("[data-piece]")?.dataset.piece;
    const id = on ?? view().piece;
    const deed = pieceOf(id) ? deedOf(event) : null;
    if (deed && (on || reaches(event.target, deed))) {
      event.preventDefault();
      obey(id, deed);
    } else if (event.key === "Escape") {
      closeNote();
    }
  });
  home.addEventListener("click", (event) => {
    const step = event.target.closest("[data-nudge]");
    if (event.target.closest("[data-pick-more]")) toggleMore();
    if (step) obey(view().piece, deedOf({ key: step.dataset.nudge }));
  });
  home.addEventListener("focusout", (event) => {
    if (isInHand(event.target.dataset?.piece) && event.relatedTarget && !isDragging()) keep();
  });
}

/** Whether a key is meant for the picked piece: only where nothing else has the focus; but Escape is, from anywhere. */
function reaches(target, deed) {
  if (deed.do.startsWith("pick")) return false;
  return deed.do === "put-back" || target === document.body || Boolean(target.closest?.("#drawing, [data-moves-it]"));
}

/** A plain letter, with no key held beside it. */
const isAll = (event) => event.key.toLowerCase() === "e" && !event.ctrlKey && !event.metaKey && !event.altKey;

/** Shuts the menu that is open, the one with the focus first; tells whether there was one. */
function shutMenu() {
  const open = [...home.querySelectorAll(MENUS)];
  const menu = open.find((one) => one.contains(document.activeElement)) ?? open[0];
  if (!menu) return false;
  menu.open = false;
  menu.querySelector("summary").focus({ preventScroll: true });
  return true;
}

function stepBackOrForth(event, history) {
  if (event.target.matches?.(WRITING)) return;
  event.preventDefault();
  if (isInHand()) putBack();
  else home.querySelector(`[data-history="${history}"]`)?.click();
}

function obey(id, deed) {
  const now = placeNow(id);
  if (deed.do === "remove") return take(id);
  if (deed.do === "pick") return void pickPiece(id);
  if (deed.do === "pick-more") return void pickMore(id);
  if (deed.do === "another") return copy(id);
  if (deed.do === "put-back") return letGo(id);
  if (deed.do === "move") shift(id, ofScreen(now, deed.right, deed.down), null, faceOf(id));
  if (deed.do === "raise") shift(id, { ...now, base: now.base + deed.mm }, null, faceOf(id));
  if (deed.do === "turn" && beside(id).length) return turnAll(id, deed.degrees);
  if (deed.do === "turn" && pieceOf(id).onWall) return turnOnWall(id, deed.degrees);
  if (deed.do === "turn") shift(id, { ...now, turn: (now.turn + deed.degrees + 360) % 360 });
  if (deed.do === "turn") holdTurn(placeNow(id).turn);
  tell(id);
  if (!isDragging()) keepSoon();
}

/** What hangs goes to the next wall: the server knows which is free. */
function turnOnWall(id, degrees) {
  if (isDragging()) return;
  if (degrees % 90) return say("What hangs on a wall keeps its back to it. R takes it to the next wall.");
  keep();
  change({ do: "turn", piece: id, turn: degrees });
}

/** All that is picked, about its common middle; not while any of it hangs on a wall, or is being dragged. */
function turnAll(id, degrees) {
  if (isDragging()) return;
  const ids = [id, ...beside(id)];
  if (ids.some((one) => pieceOf(one).onWall)) return say("What hangs on a wall is turned alone.");
  keep();
  shift(id, aboutTheMiddle(ids.map(placeNow), degrees));
  keepSoon();
}

function copy(id) {
  keep();
  change({ do: "another", piece: id, also: "" });
}

function tell(id) {
  const { x, y, base, turn } = placeNow(id);
  say(`${pieceOf(id).name} at ${x}, ${y}, base ${base}, turn ${turn}.`, 600);
}

/** A move in screen directions as a move in the room: on the plan, or along and up the wall that a phone shows. */
function ofScreen(now, right, down) {
  const room = handles();
  if (!room.plan) return alongFace(room, now, right, down);
  const [dx, dy] = swept(inverse(room.plan), [right * room.scale, down * room.scale]);
  return { ...now, x: tidy(now.x + dx), y: tidy(now.y + dy) };
}

/** The wall on whose face a piece is moved by keys: the one that a phone shows, else the one it stands against. */
function faceOf(id) {
  const { plan, faces, walls } = handles();
  const against = restsOn(pieceOf(id), placeNow(id), walls);
  return faces.find(({ edge }) => !plan || against.includes(walls[edge].name))?.edge ?? null;
}

function alongFace(room, now, right, down) {
  const wall = room.walls[room.faces[0].edge];
  return { ...now, x: tidy(now.x - wall.ux * right), y: tidy(now.y - wall.uy * right), base: now.base - down };
}

const tidy = (value) => Math.round(value * 10) / 10;

function take(id) {
  const all = beside(id).join(" ");
  forget();
  change({ do: "remove", piece: id, pieces: all });
}

/** Escape: what is not saved goes back to its place; otherwise the piece is let go. */
function letGo(id) {
  if (!isInHand(id)) return void pickPiece("");
  putBack();
  say(`${pieceOf(id).name} is back where it was.`);
}
