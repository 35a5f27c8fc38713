/** What came anew, with every part that is as it was before taken from there: what did not change is the same object still. */

type Parts = Record<string, unknown>;

function isParts(value: unknown): value is Parts {
  return typeof value === "object" && value !== null;
}

/** `next`, made of parts of `before` wherever they are equal; `before` itself where all is. Both are plain values, as JSON has them. */
export function keptSame<T>(before: unknown, next: T): T {
  if (before === next || !isParts(before) || !isParts(next)) return next;
  if (Array.isArray(before) !== Array.isArray(next)) return next;
  const keys = Object.keys(next);
  const kept: Parts = Array.isArray(next) ? ([] as unknown as Parts) : {};
  let isSame = Object.keys(before).length === keys.length;
  for (const key of keys) {
    kept[key] = keptSame(before[key], next[key]);
    // What is not there at all is another thing than what is there and is nothing.
    isSame = isSame && key in before && kept[key] === before[key];
  }
  return (isSame ? before : kept) as T;
}
