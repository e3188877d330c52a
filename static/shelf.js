// The shelf along the foot: searched by typing, kit dragged up on to the plan or put there by Enter.
import { apply, inDrawing, inverse } from "./coordinates.js";
import { change, tryOut } from "./changes.js";
import { gestures } from "./drag.js";
import { drawing, handles, say, surroundings } from "./page.js";
import { matches, meant } from "./search.js";
import { snap } from "./snap.js";
import { lay, takeUp } from "./tape.js";

const SVG = "http://www.w3.org/2000/svg";

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
    cancel: () => letGo(),
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

/** Where a kind under the finger would come to rest, or null while the finger is not over the room. */
function placeOf(button, event) {
  const room = handles();
  const svg = drawing();
  if (!room.plan) return null;
  const [x, y] = apply(inverse(room.plan), inDrawing(svg, event));
  const [x0, y0, x1, y1] = room.planBox;
  const [px, py] = inDrawing(svg, event);
  if (px < x0 || px > x1 || py < y0 || py > y1) return null;
  const kind = kindOf(button);
  const wanted = { x, y, turn: 0, base: kind.base };
  const free = { ...wanted, x: Math.round(x), y: Math.round(y), against: [], inLine: [] };
  const rest = event.altKey ? free : snap(kind, wanted, surroundings(null), { reachMm: 12 / room.scale });
  return { ...rest, base: kind.base, kind };
}

function carry(button, event) {
  const place = placeOf(button, event);
  if (!place) return letGo(false);
  ghost(place.kind, place);
  lay(drawing(), handles(), place.kind, place, surroundings(null));
  tryOut({ kit: button.dataset.kit }, place);
}

function put(button, event) {
  const place = placeOf(button, event);
  letGo();
  if (!place) return say("It is back on the shelf.");
  change({ do: "add", kit: button.dataset.kit, x: place.x, y: place.y, turn: place.turn, piece: "" });
}

function letGo(done = true) {
  takeUp(drawing());
  drawing()?.querySelector("#lifted")?.remove();
  if (done) document.body.classList.remove("dragging");
}

/** The plan of a kind that has no place yet, drawn in outline. */
function ghost(kind, place) {
  const svg = drawing();
  const { plan, scale } = handles();
  let shape = svg.querySelector("#lifted");
  if (!shape) {
    shape = document.createElementNS(SVG, "path");
    shape.id = "lifted";
    shape.setAttribute("class", "k lifted");
    svg.append(shape);
  }
  const [px, py] = apply(plan, [place.x, place.y]);
  const round = kind.radius * scale;
  const points = kind.points.map(([x, y]) => [plan[0] * x + plan[2] * y, plan[1] * x + plan[3] * y]);
  shape.setAttribute("d", round
    ? `M${-round},0A${round},${round} 0 1 1 ${round},0A${round},${round} 0 1 1 ${-round},0Z`
    : `M${points.map((point) => point.map((v) => v.toFixed(1))).join("L")}Z`);
  shape.setAttribute("transform", `translate(${px.toFixed(1)},${py.toFixed(1)}) rotate(${-place.turn})`);
}

function search(shelf) {
  const blank = shelf.querySelector("[data-shelf-search]");
  const none = shelf.querySelector("[data-shelf-none]");
  const items = [...shelf.querySelectorAll(".shelf-item")].map((element) => ({
    element, name: element.dataset.name, group: element.dataset.group,
  }));
  const sift = () => {
    const found = items.filter((item) => matches(item, blank.value));
    for (const item of items) item.element.hidden = !found.includes(item);
    for (const label of shelf.querySelectorAll(".shelf-label")) {
      label.hidden = !found.some((item) => item.group === label.dataset.group);
    }
    none.hidden = found.length > 0;
    if (found.length === 0) none.replaceChildren(...nothingLike(items, blank, sift));
    say(found.length ? `${found.length} on the shelf.` : none.textContent);
    shelf.querySelector("[data-shelf]").scrollTo(0, 0);
  };
  blank.addEventListener("input", sift);
}

function nothingLike(items, blank, sift) {
  const near = meant(items, blank.value);
  const words = document.createElement("span");
  words.textContent = `No “${blank.value}” here. `;
  if (!near) return [words];
  const show = document.createElement("button");
  show.type = "button";
  show.textContent = `Did you mean ${near}?`;
  show.addEventListener("click", () => {
    blank.value = near;
    blank.focus();
    sift();
  });
  return [words, show];
}
