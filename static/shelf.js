// The shelf along the foot: searched by typing, kit dragged up on to the plan or put there by Enter.
import { apply, inDrawing, inverse } from "./coordinates.js";
import { change, tryNothing, tryOut } from "./changes.js";
import { gestures } from "./drag.js";
import { faceAt } from "./faces.js";
import { ghost } from "./ghost.js";
import { drawing, handles, say, surroundings } from "./page.js";
import { matches, meant } from "./search.js";
import { asked, keeps, told } from "./sizes.js";
import { atWall, baseAt, snap } from "./snap.js";
import { lay, takeUp } from "./tape.js";

const REACH_PX = 12;

/** Whether the notes on the page are those with the kind under the finger. */
let carried = false;

export function startShelf() {
  const shelf = document.getElementById("shelf");
  search(shelf);
  let dragged = false;
  gestures(shelf, {
    grab: (event) => event.target.closest?.(".sil"),
    holder: (button) => button,
    begin() {
      dragged = true;
      document.body.classList.add("dragging");
    },
    move: carry,
    drop: put,
    cancel: back,
    tap: () => {},
  });
  shelf.addEventListener("click", (event) => {
    if (!dragged) return;
    dragged = false;
    event.preventDefault();
    event.stopPropagation();
  }, true);
  shelf.addEventListener("pointerdown", () => { dragged = false; }, true);
}

const kindOf = (button) => JSON.parse(button.dataset.handles);

/** Where a kind under the finger would come to rest, or null while the finger is over neither plan nor wall. */
function placeOf(button, event) {
  const kind = kindOf(button);
  const onPlan = planAt(event);
  if (onPlan) return { ...restOnPlan(kind, onPlan, event), base: kind.base, kind };
  const at = faceAt(event);
  if (!at) return null;
  const reachMm = REACH_PX / handles().scale;
  const base = event.altKey ? Math.round(at.height - kind.height / 2) : baseAt(kind, at.height, reachMm);
  const rest = atWall(kind, at.wall, at.along, base, surroundings(null), event.altKey ? 0 : reachMm);
  return { ...rest, kind };
}

function planAt(event) {
  const { plan, planBox } = handles();
  if (!plan) return null;
  const [px, py] = inDrawing(drawing(), event);
  const [x0, y0, x1, y1] = planBox;
  return px < x0 || px > x1 || py < y0 || py > y1 ? null : apply(inverse(plan), [px, py]);
}

function restOnPlan(kind, [x, y], event) {
  const wanted = { x, y, turn: 0, base: kind.base };
  if (event.altKey) return { ...wanted, x: Math.round(x), y: Math.round(y) };
  return snap(kind, wanted, surroundings(null), { reachMm: REACH_PX / handles().scale });
}

function carry(button, event) {
  const place = placeOf(button, event);
  if (!place) return putAway();
  carried = true;
  ghost(drawing(), handles(), place.kind, place);
  lay(drawing(), handles(), place.kind, place, surroundings(null), place.equal);
  tryOut({ kit: button.dataset.kit }, place);
}

function put(button, event) {
  const place = placeOf(button, event);
  if (!place) return back();
  clear();
  document.body.classList.remove("dragging");
  carried = false;
  const { x, y, turn, base } = place;
  change({ do: "add", kit: button.dataset.kit, x, y, turn, base_mm: base, piece: "" });
}

function back() {
  document.body.classList.remove("dragging");
  putAway();
  say("It is back on the shelf.");
}

/** Nothing is over the room: what was tried is gone from the page too. */
function putAway() {
  clear();
  if (carried) tryNothing();
  carried = false;
}

function clear() {
  takeUp(drawing());
  drawing()?.querySelector("#lifted")?.remove();
}

function search(shelf) {
  const blank = shelf.querySelector("[data-shelf-search]");
  const none = shelf.querySelector("[data-shelf-none]");
  const items = [...shelf.querySelectorAll(".shelf-item")].map((element) => ({
    element, name: element.dataset.name, group: element.dataset.group, sizes: JSON.parse(element.dataset.sizes),
  }));
  const understood = shelf.querySelector("[data-shelf-sizes]");
  const sift = () => {
    const { words, limits } = asked(blank.value);
    const found = items.filter((item) => matches(item, words) && keeps(item.sizes, limits));
    understood.textContent = limits.length ? `${found.length} on the shelf, ${told(limits)}.` : "";
    for (const one of shelf.querySelectorAll("[data-not-sifted]")) one.hidden = blank.value.trim() !== "";
    for (const item of items) item.element.hidden = !found.includes(item);
    for (const label of shelf.querySelectorAll(".shelf-label")) {
      label.hidden = !found.some((item) => item.group === label.dataset.group);
    }
    none.hidden = found.length > 0;
    if (found.length === 0) none.replaceChildren(...nothingLike(items, blank, sift, limits.length ? words : blank.value));
    say(found.length ? understood.textContent || `${found.length} on the shelf.` : none.textContent);
    shelf.querySelector("[data-shelf]").scrollTo(0, 0);
  };
  blank.addEventListener("input", sift);
}

function nothingLike(items, blank, sift, typed) {
  const near = items.some((item) => matches(item, typed)) ? null : meant(items, typed);
  const words = document.createElement("span");
  words.textContent = `No “${blank.value}” here. `;
  const own = document.createElement("a");
  own.href = blank.dataset.own;
  own.textContent = "Make one of your own from its manual";
  if (!near) return [words, own];
  const show = document.createElement("button");
  show.type = "button";
  show.textContent = `Did you mean ${near}?`;
  show.addEventListener("click", () => {
    blank.value = blank.value.replace(typed.split(" ").at(-1), near);
    blank.focus();
    sift();
  });
  return [words, show];
}
