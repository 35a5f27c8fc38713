/** Which row of a list is which, after one was added, taken out, moved or said otherwise: rows have no names of their own. */

export interface RowId {
  id: number;
  /** What stands in it. */
  says: string;
}

/** The rows now, each with the number that it had before where it was there before. */
export function followed(before: RowId[], now: string[]): RowId[] {
  let next = before.reduce((most, { id }) => Math.max(most, id), -1) + 1;
  let start = 0;
  while (start < now.length && before[start]?.says === now[start]) start += 1;
  const most = Math.min(before.length, now.length) - start;
  let end = 0;
  while (end < most && before[before.length - 1 - end]?.says === now[now.length - 1 - end]) end += 1;
  const left = before.slice(start, before.length - end);
  const between = now.slice(start, now.length - end);
  // As many as there were: what is in none of the old ones was said otherwise in its place.
  const sameCount = left.length === between.length;
  const free = new Set(left.map(({ id }) => id));
  const ids = between.map((says) => {
    const old = left.find((row) => row.says === says && free.has(row.id));
    if (old) free.delete(old.id);
    return old?.id;
  });
  const rest = [...free];
  const middle = between.map((says, index) => ({ id: ids[index] ?? (sameCount ? rest.shift() : undefined) ?? next++, says }));
  return [...before.slice(0, start), ...middle, ...before.slice(before.length - end)];
}
