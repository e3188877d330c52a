// Nearer: the drawing twice as large about the picked place, moved by taking hold of the paper; and back to the whole.

const TIMES = 2;

function whole(svg) {
  return [Number(svg.getAttribute("width")), Number(svg.getAttribute("height"))];
}

/** Comes nearer to what is picked, or goes back. */
export function toggleNearer(svg, after) {
  const near = !svg.classList.contains("near");
  const [w, h] = whole(svg);
  set(svg, near, near ? window_(picked(svg), w, h).join(" ") : `0 0 ${w} ${h}`);
  after();
}

/** Shows the same window again on a drawing that came in whole. */
export const showNear = (svg, box) => set(svg, true, box);

function set(svg, near, box) {
  const button = document.querySelector("[data-nearer]");
  svg.classList.toggle("near", near);
  button.setAttribute("aria-pressed", String(near));
  button.textContent = near ? "The whole room" : "Nearer";
  svg.setAttribute("viewBox", box);
}

function picked(svg) {
  const part = svg.querySelector("#marks .pin.on circle:not(.hit)") ?? svg.querySelector("#kit [data-piece].picked");
  const box = part?.getBoundingClientRect();
  if (!box) return whole(svg).map((size) => size / 2);
  const at = new DOMPoint(box.x + box.width / 2, box.y + box.height / 2).matrixTransform(svg.getScreenCTM().inverse());
  return [at.x, at.y];
}

function window_([x, y], w, h) {
  const [wide, high] = [w / TIMES, h / TIMES];
  const clamp = (value, most) => Math.min(Math.max(value, 0), most);
  return [clamp(x - wide / 2, w - wide), clamp(y - high / 2, h - high), wide, high];
}

/** Moves the window with the hand. */
export function moveWindow(svg, event) {
  const [w, h] = whole(svg);
  const [x, y, wide, high] = svg.getAttribute("viewBox").split(" ").map(Number);
  const next = window_([x + wide / 2 - event.movementX / TIMES, y + high / 2 - event.movementY / TIMES], w, h);
  svg.setAttribute("viewBox", next.join(" "));
}
