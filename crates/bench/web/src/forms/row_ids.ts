/** Which row is which, after one was added, taken out, moved, said or called otherwise: what is typed in a row stays in it. */

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

/** Something that is called otherwise. */
export interface Renamed {
  from: string;
  to: string;
}

/** What goes by this name now, where it, or what it was called before, is one of these. */
export function nameNow(names: string[], name: string, renamed: Renamed | null): string {
  if (!renamed || names.includes(name)) return name;
  const other = name === renamed.from ? renamed.to : name === renamed.to ? renamed.from : name;
  return names.includes(other) ? other : name;
}

/** A key for each of these names: the one that it had before, also where it was called otherwise then. */
export function keysOf(before: Map<string, string>, names: string[], renamed: Renamed | null): Map<string, string> {
  const had = [...before.keys()];
  const old = new Map(names.map((name) => [name, before.get(nameNow(had, name, renamed))]));
  const taken = new Set<string>();
  const keys = new Map<string, string>();
  // A name that stood there before is surer than one that may have been another.
  for (const name of [...names].sort((a, b) => Number(had.includes(b)) - Number(had.includes(a)))) {
    let key = old.get(name) ?? name;
    for (let count = 2; taken.has(key); count += 1) key = `${name} ${count}`;
    taken.add(key);
    keys.set(name, key);
  }
  return keys;
}
