// Where a piece in a row stands with equal gaps. Pure; everything lies on one line: a span is [from, to], in mm.

const LEAST_MM = 0.5;

/**
 * The places on a line at which the gaps beside a piece are equal: half way between its neighbours, or as far from one
 * neighbour as that is from the next. `at` is where its middle is wanted, `before` and `after` how far it reaches; `row`
 * are the spans of what stands on the line, `ends` the two walls (null: none). Each is {at, equal: [line, line]} with the
 * two equal gaps. Half way between two walls is none, nor is what leaves no gap or runs into something.
 */
export function equalStops(at, before, after, row, [start, end]) {
  const middle = ([from, to]) => (from + to) / 2;
  const left = row.filter((span) => middle(span) < at).sort((a, b) => b[1] - a[1]);
  const right = row.filter((span) => middle(span) >= at).sort((a, b) => a[0] - b[0]);
  const low = left[0]?.[1] ?? start;
  const high = right[0]?.[0] ?? end;
  const stops = [halfWay(low, high, before, after, row.length), asBefore(left, before), asBehind(right, after)];
  return stops.filter((stop) => stop && clear(stop.at - before, low) && clear(high, stop.at + after));
}

/** Whether there is a gap from `to` up to `from`; nothing there leaves every gap. */
const clear = (from, to) => from === null || to === null || from - to > LEAST_MM;

function halfWay(low, high, before, after, neighbours) {
  if (!neighbours || low === null || high === null) return null;
  const at = (low + high + before - after) / 2;
  return { at, equal: [[low, at - before], [at + after, high]] };
}

function asBefore([one, ...others], before) {
  const next = Math.max(...others.map(([, to]) => to));
  const gap = one ? one[0] - next : 0;
  if (!Number.isFinite(gap) || gap <= LEAST_MM) return null;
  return { at: one[1] + gap + before, equal: [[next, one[0]], [one[1], one[1] + gap]] };
}

function asBehind([one, ...others], after) {
  const next = Math.min(...others.map(([from]) => from));
  const gap = one ? next - one[1] : 0;
  if (!Number.isFinite(gap) || gap <= LEAST_MM) return null;
  return { at: one[0] - gap - after, equal: [[one[0] - gap, one[0]], [one[1], next]] };
}
