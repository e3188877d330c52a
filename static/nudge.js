// What each key does to the picked piece. Pure: a key event (or anything shaped like one) in, a deed out.

const STEPS_MM = { plain: 5, shift: 50, alt: 1 };
const ARROWS = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] };
const LIFTS = { PageUp: 1, PageDown: -1 };

export function stepOf({ shiftKey, altKey }) {
  return altKey ? STEPS_MM.alt : shiftKey ? STEPS_MM.shift : STEPS_MM.plain;
}

/**
 * The deed of a key on a piece, or null. A move is in screen directions (right, down), so that it follows the page
 * when the page is turned; `ofScreen` in the caller brings it into the room.
 */
export function deedOf(event) {
  if (event.ctrlKey || event.metaKey) return null;
  const step = stepOf(event);
  const arrow = ARROWS[event.key];
  if (arrow) return { do: "move", right: arrow[0] * step, down: arrow[1] * step };
  if (event.key in LIFTS) return { do: "raise", mm: LIFTS[event.key] * step };
  if (event.key === "r" || event.key === "R") return { do: "turn", degrees: event.shiftKey ? -90 : 90 };
  if (event.key === "t" || event.key === "T") return { do: "turn", degrees: event.shiftKey ? -15 : 15 };
  if (event.key === "Delete" || event.key === "Backspace") return { do: "remove" };
  if (event.key === "Escape") return { do: "put-back" };
  if (event.key === "d" || event.key === "D") return { do: "another" };
  if (event.key === " " && event.shiftKey) return { do: "pick-more" };
  if (event.key === "Enter" || event.key === " ") return { do: "pick" };
  return null;
}

/** The deed of a key anywhere on the page, or null. */
export function pageDeedOf(event) {
  if (!(event.ctrlKey || event.metaKey) || event.altKey) return null;
  const key = event.key.toLowerCase();
  if (key === "z") return event.shiftKey ? "redo" : "undo";
  return key === "y" ? "redo" : null;
}
