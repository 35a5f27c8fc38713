/** The acts that write something new, so that it stands in the file as the rest of it does: in the order it is said. */

import type { Act, Way } from "../types";
import type { Plain } from "./draft";

/** Tables whose rows stand one to a line. Rows of the others have a heading of their own. */
const ONE_LINE = new Set(["points", "measures", "places", "instruments", "panels", "together"]);

function isTable(to: Plain): to is { [key: string]: Plain } {
  return typeof to === "object" && !Array.isArray(to);
}

/** Key by key, so that they stand in the file in this order. */
function byKeys(at: Way, to: { [key: string]: Plain }): Act[] {
  return Object.entries(to).map(([key, value]) => ({ act: "set", at: [...at, key], to: value }));
}

function begun(to: { [key: string]: Plain }): [{ [key: string]: Plain }, { [key: string]: Plain }] {
  const [first, ...rest] = Object.entries(to);
  return [first ? { [first[0]]: first[1] } : {}, Object.fromEntries(rest)];
}

/** Writes something that is not there yet to its place. */
export function actsToWrite(at: Way, to: Plain): Act[] {
  if (!isTable(to)) return [{ act: "set", at, to }];
  const headed = at.length === 1 || (at.length === 2 && !ONE_LINE.has(String(at[0])));
  if (headed) return byKeys(at, to);
  const [first, rest] = begun(to);
  return [{ act: "set", at, to: first }, ...byKeys(at, rest)];
}

/** Adds a row to a list that has so many. */
export function actsToAdd(at: Way, count: number, to: Plain): Act[] {
  if (!isTable(to)) return [{ act: "add", at, to }];
  const [first, rest] = begun(to);
  return [{ act: "add", at, to: first }, ...byKeys([...at, count], rest)];
}
