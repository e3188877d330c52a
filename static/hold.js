// A finger that rests on a piece: the way by touch to what a mouse does with Shift and a click.

const RESTS_MS = 500;
const SLACK_PX = 8;

/** Calls `rest(what)` once a finger has rested on what `on(event)` gives: null where there is nothing. */
export function fingersThatRest(root, { on, rest }) {
  let finger = null;

  const lift = (event) => {
    if (event.pointerId !== finger?.id) return;
    clearTimeout(finger.waiting);
    finger = null;
  };

  root.addEventListener("pointerdown", (event) => {
    if (event.pointerType !== "touch") return;
    if (finger) return clearTimeout(finger.waiting);
    const what = on(event);
    if (what === null) return;
    const { pointerId: id, clientX: x, clientY: y } = event;
    finger = { id, x, y, waiting: setTimeout(() => rest(what), RESTS_MS) };
  });
  root.addEventListener("pointermove", (event) => {
    if (event.pointerId !== finger?.id) return;
    if (Math.hypot(event.clientX - finger.x, event.clientY - finger.y) > SLACK_PX) clearTimeout(finger.waiting);
  });
  root.addEventListener("pointerup", lift);
  root.addEventListener("pointercancel", lift);
  root.addEventListener("contextmenu", (event) => {
    if (finger) event.preventDefault();
  });
}
