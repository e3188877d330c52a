// Where the notes, the label and the inset stand: in the free corners of the drawing and in the left margin.
// Pure: rectangles are {x, y, w, h} in px of the workbench.

const GAP = 14;

/** The largest free rectangle at one corner of the stage ("tl", "tr", "bl", "br") that keeps clear of what is drawn. */
export function freeCorner(stage, occupied, corner, gap = GAP) {
  const left = corner.endsWith("l");
  const top = corner.startsWith("t");
  const reachX = [stage.w, ...occupied.map((r) => (left ? r.x - stage.x : stage.x + stage.w - r.x - r.w) - gap)];
  let best = { x: stage.x, y: stage.y, w: 0, h: 0 };
  for (const w of reachX.filter((value) => value > 0)) {
    const column = { x: left ? stage.x : stage.x + stage.w - w, w };
    const inTheWay = occupied.filter((r) => r.x - gap < column.x + w && column.x < r.x + r.w + gap);
    const reaches = inTheWay.map((r) => (top ? r.y - stage.y : stage.y + stage.h - r.y - r.h) - gap);
    const h = Math.max(0, Math.min(stage.h, ...reaches));
    if (w * h > best.w * best.h) best = { x: column.x, y: top ? stage.y : stage.y + stage.h - h, w, h };
  }
  return best;
}

export const overlaps = (a, b) => a.x < b.x + b.w && b.x < a.x + a.w && a.y < b.y + b.h && b.y < a.y + a.h;

/**
 * A place for a box of that size inside one of the areas, nearest to one of the targets and no farther than
 * `farthest`, clear of what is taken; or null. Within an area a box stands at one edge and moves up and down only.
 */
export function nearestPlace(size, areas, taken, targets, farthest = Infinity) {
  let best = null;
  for (const area of areas.filter((one) => size.w <= one.w + 0.5 && size.h <= one.h + 0.5)) {
    const x = area.hold === "right" ? area.x + area.w - size.w : area.x;
    for (const target of targets) {
      const wanted = clamp(target.y - size.h / 2, area.y, area.y + area.h - size.h);
      for (const y of levels(wanted, size, area, taken)) {
        const rect = { x, y, ...size };
        const far = Math.hypot(target.x - clamp(target.x, x, x + size.w), target.y - clamp(target.y, y, y + size.h));
        if (far > (best?.far ?? farthest) || taken.some((one) => overlaps(rect, grown(one)))) continue;
        best = { rect, far };
      }
    }
  }
  return best?.rect ?? null;
}

function levels(wanted, size, area, taken) {
  const beside = taken.filter((one) => one.x < area.x + area.w && area.x < one.x + one.w);
  const stops = beside.flatMap((one) => [one.y - size.h - GAP, one.y + one.h + GAP]);
  return [wanted, ...stops].filter((y) => y >= area.y && y <= area.y + area.h - size.h);
}

const clamp = (value, low, high) => Math.min(Math.max(value, low), high);
const grown = ({ x, y, w, h }) => ({ x: x - GAP + 0.5, y: y - GAP + 0.5, w: w + 2 * GAP - 1, h: h + 2 * GAP - 1 });

/**
 * Places for the notes, worst first; a note that stood somewhere keeps its place while it is free. What finds no place
 * is left to the list in the margin.
 */
export function placeNotes(notes, areas, obstacles, before = new Map(), farthest = Infinity) {
  const placed = new Map();
  const taken = [...obstacles];
  const put = (note, rect) => {
    placed.set(note.key, rect);
    taken.push(rect);
  };
  const kept = (note) => before.get(note.key) && { ...before.get(note.key), ...note.size };
  const fits = (rect) => areas.some((area) => rect.x >= area.x - 1 && rect.y >= area.y - 1
    && rect.x + rect.w <= area.x + area.w + 1 && rect.y + rect.h <= area.y + area.h + 1);
  for (const note of notes) {
    const old = kept(note);
    if (old && fits(old) && !taken.some((one) => overlaps(old, grown(one)))) put(note, old);
  }
  for (const note of notes) {
    if (placed.has(note.key)) continue;
    const rect = nearestPlace(note.size, areas, taken, note.targets, farthest);
    if (rect) put(note, rect);
  }
  return placed;
}
