/** Values of a file as they were typed: found by their place, and put in words. */

import type { Typed, Way } from "./types";

export function isTable(value: Typed | undefined): value is { table: [string, Typed][] } {
  return typeof value === "object" && value !== null && !Array.isArray(value);
}

/** The rows of a table, in the file's order; none for anything else. */
export function rowsOf(value: Typed | undefined): [string, Typed][] {
  return isTable(value) ? value.table : [];
}

/** What is at a place. */
export function at(value: Typed | undefined, way: Way): Typed | undefined {
  let here = value;
  for (const step of way) {
    if (typeof step === "number") here = Array.isArray(here) ? here[step] : undefined;
    else here = rowsOf(here).find(([key]) => key === step)?.[1];
    if (here === undefined) return undefined;
  }
  return here;
}

/** The key as it is read out: "per_day" as "per day". */
export function inWords(key: string): string {
  return key.replace(/[_-]/g, " ");
}

/** A way for people: "points B 1". Rows count from 1. */
export function wayInWords(way: Way): string {
  return way.map((step) => (typeof step === "number" ? String(step + 1) : inWords(step))).join(" ");
}

/** A number as people type it, with a point or a comma; nothing where it is none. */
export function numberOf(text: string): number | null {
  const said = text.trim();
  // A thousand to some, and one to others.
  if (said === "" || /^-?[1-9]\d{0,2}(,\d{3})+$/.test(said)) return null;
  const number = Number(said.replace(",", "."));
  return Number.isFinite(number) ? number : null;
}

/** What was typed in a field goes back as it stood: a number stays one. */
export function asTyped(before: string | number, text: string): string | number {
  return typeof before === "number" ? (numberOf(text) ?? text) : text;
}
