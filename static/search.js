// Searching the shelf. Pure: names in, the ones that match out; and for a slip of the keyboard, what was probably meant.

const words = (text) => text.toLowerCase().replace(/[^a-z0-9]+/g, " ").trim().split(" ").filter(Boolean);

/** Whether every word that was typed begins, or stands in, some word of the name or group. */
export function matches(item, typed) {
  const own = words(`${item.name} ${item.group}`);
  return words(typed).every((word) => own.some((one) => one.startsWith(word) || (word.length > 3 && one.includes(word))));
}

/** Whether every word that was typed stands somewhere in a text. */
export function matchesAll(text, typed) {
  const own = ` ${words(text).join(" ")}`;
  return words(typed).every((word) => own.includes(word.length > 3 ? word : ` ${word}`));
}

/** The word on the shelf nearest to the one typed, if it is near enough to be meant. */
export function meant(items, typed) {
  const word = words(typed).at(-1);
  if (!word) return null;
  const every = [...new Set(items.flatMap((item) => words(`${item.name} ${item.group}`)))].filter((one) => one.length > 2);
  const ranked = every.map((one) => [distance(word, one), one]).sort((a, b) => a[0] - b[0] || (a[1] < b[1] ? -1 : 1));
  const [far, found] = ranked[0] ?? [Infinity, null];
  return far <= Math.max(1, Math.floor(word.length / 3)) ? found : null;
}

/** How many letters have to be changed, added, left out or swapped to make one word the other. */
export function distance(a, b) {
  const rows = [[...Array(b.length + 1).keys()]];
  for (let i = 1; i <= a.length; i += 1) {
    rows.push([i]);
    for (let j = 1; j <= b.length; j += 1) {
      const same = a[i - 1] === b[j - 1] ? 0 : 1;
      rows[i][j] = Math.min(rows[i - 1][j] + 1, rows[i][j - 1] + 1, rows[i - 1][j - 1] + same);
      const swapped = i > 1 && j > 1 && a[i - 1] === b[j - 2] && a[i - 2] === b[j - 1];
      if (swapped) rows[i][j] = Math.min(rows[i][j], rows[i - 2][j - 2] + 1);
    }
  }
  return rows[a.length][b.length];
}
