// What goes to the server: tries (a piece under the finger, latest wins) and changes (saved, one after the other).
import { bench, home, root, view } from "./page.js";

const trying = document.getElementById("trying");
const changing = document.getElementById("changing");
const page = crypto.randomUUID?.() ?? String(Math.random());

const SOON_MS = 150;

let seq = 0;
let settled = 0;
let late = 0;
let busy = false;
let lost = false;
/** The marks and notes on the page in short, as the last answer told it: they need not come again. */
let written = "";
const waiting = [];

function fill(form, fields) {
  const blanks = Object.entries(fields).map(([name, value]) => {
    const blank = document.createElement("input");
    blank.type = "hidden";
    blank.name = name;
    blank.value = value;
    return blank;
  });
  form.replaceChildren(...blanks);
}

/** Asks what would be found with a piece (or a kind from the shelf) at a place. */
export function tryOut(what, place) {
  seq += 1;
  const { layout, note, quarters, wall, piece, also } = view();
  const at = { x: place.x, y: place.y, turn: place.turn, base_mm: place.base ?? 0 };
  const asked = home.querySelector("#questions-list [data-asked]")?.dataset.asked ?? "";
  const picked = what.piece ?? piece;
  fill(trying, { ...what, ...at, layout, note, quarters, wall, picked, also: what.pieces ?? "", page, seq, asked, written });
  if (!late) expect();
  trying.dispatchEvent(new CustomEvent("kit:moved"));
}

/** Verdicts grow pale when the answer is not there soon: one that is costs no painting. */
function expect() {
  late = setTimeout(() => bench().classList.add("stale"), SOON_MS);
}

/** An answer came in; a later place may still be without one. */
function answered(isNewest) {
  clearTimeout(late);
  late = 0;
  if (isNewest) bench().classList.remove("stale");
  else expect();
}

/** Brings back the notes and the counts of the saved layout: nothing is under the finger any more. */
export const tryNothing = () => tryOut({}, { x: 0, y: 0, turn: 0 });

/** Saves a change as the next layout. A change that is asked for while another is on its way waits for it. */
export function change(fields) {
  if (busy) return void waiting.push(fields);
  busy = true;
  settled = seq;
  const { layout, piece, also, pipe, note, quarters, wall } = view();
  fill(changing, { piece, also, pipe, note, ...fields, layout, quarters, wall });
  changing.dispatchEvent(new CustomEvent("kit:changed"));
}

/** Whether a change is under way, waits, or got no answer. */
export const isUnsaved = () => busy || lost || waiting.length > 0;

/** Forms of the page that save go through the same queue, so that none builds on a layout that is just being left. */
root.addEventListener("htmx:config:request", (event) => {
  const { ctx } = event.detail;
  if (ctx.sourceElement === changing || !ctx.request.action.endsWith("/layouts") || ctx.request.method !== "POST") return;
  event.preventDefault();
  change(Object.fromEntries(ctx.request.body));
});

trying.addEventListener("htmx:before:swap", (event) => {
  const sent = new URLSearchParams(event.detail.ctx.request.body);
  if (Number(sent.get("seq")) <= settled) return event.preventDefault();
  answered(Number(sent.get("seq")) === seq);
  leaveUnchanged(event.detail.tasks, sent.get("picked"));
});

/** Whatever else comes in writes its own marks and notes. */
document.addEventListener("htmx:after:swap", ({ detail: { ctx } }) => {
  written = ctx.sourceElement === trying ? ctx.response?.headers.get("Written") ?? "" : "";
});

const questions = (list) => [...list.querySelectorAll(".ask > summary")].map((one) => one.textContent).join("\n");

/** Words that stay as they are need no swap: most moves of a drag change only the marks. A label takes its own alone. */
function leaveUnchanged(tasks, picked) {
  const changed = tasks.filter(({ target, fragment }) => {
    if (target?.id === "card-rows" && target.closest(".card").dataset.card !== picked) return false;
    if (target?.id === "questions-list") return !target.querySelector(".ask[open]") && questions(target) !== questions(fragment);
    return target?.id === "marks" || target?.textContent !== fragment.textContent;
  });
  tasks.splice(0, tasks.length, ...changed);
}

changing.addEventListener("htmx:after:request", (event) => {
  if (event.detail.ctx.response) lost = false;
});

changing.addEventListener("htmx:finally:request", () => {
  busy = false;
  answered(true);
  const next = waiting.shift();
  if (next) change(next);
});

/** Every part of the page that needs to know gets told of a change that did not come through. */
changing.addEventListener("htmx:response:error", () => home.dispatchEvent(new CustomEvent("bench:refused")));

document.addEventListener("htmx:error", (event) => {
  if (event.detail.ctx?.response) return;
  const saving = event.detail.ctx?.sourceElement === changing;
  lost ||= saving;
  const message = document.getElementById("message");
  const box = document.createElement("section");
  box.className = "trouble";
  box.append(paragraph("h2", "No answer"), paragraph("p", saving
    ? "The server did not answer, so your last change is not saved yet. It is kept on this page: try again when the server runs."
    : "The server did not answer. The notes are those of a moment ago; nothing is lost."));
  if (saving) box.append(again());
  message.replaceChildren(box);
});

function paragraph(name, words) {
  const made = document.createElement(name);
  made.textContent = words;
  return made;
}

function again() {
  const button = paragraph("button", "Save it now");
  button.className = "do ink";
  button.addEventListener("click", () => changing.dispatchEvent(new CustomEvent("kit:changed")));
  return button;
}
