// The button that turns the room. What draws it, and the room itself, are fetched only when it is pressed.
const picture = document.getElementById("room-picture");
const place = document.getElementById("turn");
const [sheet, canvas] = [place.querySelector(".turned"), place.querySelector("canvas")];
const [button, line] = [place.querySelector(".begin"), place.querySelector("[role=status]")];
const CORNERS = place.dataset.corners.split(", ");
const STAYS = "The room cannot be turned here, so the pictures stay; opening this page again may help.";
let room = null;

button.hidden = false;
button.addEventListener("click", () => (sheet.hidden ? turn() : back()));
canvas.addEventListener("webglcontextlost", () => back(STAYS));

async function turn() {
  button.disabled = true;
  line.textContent = "Drawing the room.";
  try {
    if (!document.createElement("canvas").getContext("webgl2")) throw new Error("no WebGL");
    const { Turned } = await import("./turning.js");
    room ??= await Turned.of(canvas, place.dataset.solid, told);
    show(true);
    room.fit();
    canvas.focus({ preventScroll: true });
  } catch {
    back(STAYS);
  }
  button.disabled = false;
}

/** Back to the pictures; ``words`` say why where nobody asked for it, and then the room is read anew next time. */
function back(words = "") {
  if (words) room = null;
  show(false);
  line.textContent = words;
}

function show(turned) {
  sheet.hidden = !turned;
  picture.classList.toggle("is-turned", turned);
  button.textContent = turned ? "Back to the pictures" : "Turn the room";
}

function told(corner) {
  const words = `Seen from the ${CORNERS[corner]}.`;
  if (line.textContent !== words) line.textContent = words;
}
