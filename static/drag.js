// One gesture with mouse, pen or finger: taken hold of, moved, dropped; or a mere tap. The pointer is captured by an
// element that stays on the page (`holder`), so that a swap in the middle of a drag does not end it.

const SLACK_PX = 4;

/**
 * Listens on `root`. `grab(event)` says what is taken hold of (or null); `move`, `drop`, `cancel` and `tap` get it back
 * with the event. A second finger and other buttons are ignored. `signal` ends it for a root that leaves the page.
 */
export function gestures(root, { grab, begin, move, drop, cancel, tap, holder = () => root, signal }) {
  let held = null;

  root.addEventListener("pointerdown", (event) => {
    if (held || !event.isPrimary || event.button !== 0 || event.ctrlKey) return;
    const what = grab(event);
    if (!what) return;
    held = { what, id: event.pointerId, x: event.clientX, y: event.clientY, moved: false };
    holder(what).setPointerCapture(event.pointerId);
    if (event.pointerType === "mouse") event.preventDefault();
  });

  root.addEventListener("pointermove", (event) => {
    if (!held || event.pointerId !== held.id) return;
    if (!held.moved) {
      if (Math.hypot(event.clientX - held.x, event.clientY - held.y) < SLACK_PX) return;
      held.moved = true;
      begin(held.what, event);
    }
    move(held.what, event);
  });

  root.addEventListener("pointerup", (event) => {
    if (!held || event.pointerId !== held.id) return;
    const { what, moved } = held;
    held = null;
    if (moved) drop(what, event);
    else tap(what, event);
  });

  const give = (event) => {
    if (!held || (event.pointerId !== undefined && event.pointerId !== held.id)) return false;
    const { what, moved } = held;
    held = null;
    if (moved) cancel(what, event);
    return moved;
  };
  root.addEventListener("pointercancel", give);
  document.addEventListener("keydown", (event) => {
    if (event.key === "Escape" && held?.moved) {
      event.stopImmediatePropagation();
      give(event);
    }
  }, { capture: true, signal });

  return { isDragging: () => Boolean(held?.moved), held: () => (held?.moved ? held.what : null) };
}
