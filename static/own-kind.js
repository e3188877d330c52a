// A kind of one's own: points put on the drawn side by a press or by the arrow keys. Every place stays a pair of blanks.
const form = () => document.getElementById("own-kind");
const face = () => document.getElementById("own-face");
const field = (row, name) => form().elements.namedItem(`${row}_${name}`);
const STEPS = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, 1], ArrowDown: [0, -1] };
const page = document.getElementById("own-kind-page");

/** The row that a press on the drawing puts somewhere: the one that is being written, else the last. */
function rowInHand() {
  const rows = [...form().querySelectorAll("[data-row]")].map((one) => one.dataset.row).filter((row) => field(row, "left"));
  const hand = form().elements.namedItem("hand").value;
  return rows.includes(hand) ? hand : rows.at(-1) ?? null;
}

function take(row) {
  form().elements.namedItem("hand").value = row;
}

function drawn() {
  const svg = document.getElementById("own-drawing");
  if (!svg) return null;
  const [scale, left, foot, wide, high] = ["scale", "left", "foot", "wide", "high"].map((name) => Number(svg.dataset[name]));
  return { svg, scale, left, foot, wide, high, side: svg.dataset.side };
}

const within = (value, most) => Math.min(Math.max(value, 0), most);
const tidy = (value) => String(Math.round(value * 10) / 10);

/** Writes a place into the blanks of a row and has the side drawn again. */
function put(row, left, up) {
  const { wide, high, side } = drawn();
  field(row, "side").value = side;
  field(row, "left").value = tidy(within(left, wide));
  field(row, "up").value = tidy(within(up, high));
  take(row);
  move(row);
  form().dispatchEvent(new Event("change", { bubbles: true }));
  const words = form().querySelector(`fieldset[data-row="${row}"] legend`).textContent.trim();
  const back = ["above", "below"].includes(side) ? "back" : "up";
  document.getElementById("own-said").textContent =
    `${words}: ${field(row, "left").value} mm from the left edge, ${field(row, "up").value} mm ${back}.`;
}

/** The mark follows at once; the server's drawing comes after it. */
function move(row) {
  const { svg, scale, left, foot } = drawn();
  const mark = svg.querySelector(`.spot[data-row="${row}"]`);
  const [x, y] = [left + field(row, "left").value * scale, foot - field(row, "up").value * scale];
  mark?.setAttribute("transform", `translate(${x.toFixed(1)},${y.toFixed(1)})`);
}

function pressed(event) {
  const on = event.target.closest(".spot");
  if (on) return void (take(on.dataset.row), form().dispatchEvent(new Event("change", { bubbles: true })));
  const here = drawn();
  if (!here) return;
  const row = rowInHand();
  if (!row) return void (document.getElementById("own-said").textContent = "Add an access point first.");
  const { svg, scale, left, foot } = here;
  const at = new DOMPoint(event.clientX, event.clientY).matrixTransform(svg.getScreenCTM().inverse());
  const near = (value) => Math.round(value / 5) * 5;
  put(row, near((at.x - left) / scale), near((foot - at.y) / scale));
}

function stepped(event) {
  const step = STEPS[event.key];
  const row = step && drawn() ? rowInHand() : null;
  if (!row || event.ctrlKey || event.metaKey) return;
  event.preventDefault();
  const by = event.shiftKey ? 50 : event.altKey ? 1 : 5;
  const { wide, high, side } = drawn();
  const here = field(row, "side").value === side;
  const [x, y] = ["left", "up"].map((name) => (here && field(row, name).value !== "" ? Number(field(row, name).value) : NaN));
  if (Number.isNaN(x) || Number.isNaN(y)) put(row, wide / 2, high / 2);
  else put(row, x + step[0] * by, y + step[1] * by);
}

page.addEventListener("click", (event) => {
  if (event.target.closest("#own-face")) pressed(event);
});
page.addEventListener("keydown", (event) => {
  if (event.target === face()) stepped(event);
});

// the row that is being written is the one in hand, and its side is the one that is drawn
page.addEventListener("focusin", (event) => {
  const row = event.target.closest?.("[data-row]")?.dataset.row;
  if (row && field(row, "side")) take(row);
});
page.addEventListener("change", (event) => {
  if (!/^[as]\d+_side$/.test(event.target.getAttribute("name") ?? "")) return;
  const shown = form().querySelector(`[name=face][value="${event.target.value}"]`);
  if (shown) shown.checked = true;
}, true);

// after a row came or went the hand goes on where it was needed
document.addEventListener("htmx:after:swap", (event) => {
  if (event.detail.ctx?.target?.id !== "own-kind-page") return;
  const hand = form().elements.namedItem("hand").value;
  const on = hand ? form().querySelector(`fieldset[data-row="${hand}"] input`) : null;
  on?.focus();
});
