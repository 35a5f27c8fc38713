/** Names that are there, for choosing among them, and the next that is free. */

import { at, rowsOf } from "../typed";
import type { FileName, Job, Way } from "../types";
import type { NameTakes } from "./keys";

function keysOf(job: Job, file: FileName, key: string): string[] {
  return rowsOf(at(job.files[file]?.values, [key])).map(([name]) => name);
}

/** Holes whose centre is said across and up make a point of their own name. */
export function centres(job: Job): string[] {
  return rowsOf(at(job.files.design?.values, ["holes"]))
    .filter(([, hole]) => Array.isArray(at(hole, ["at"])))
    .map(([name]) => name);
}

/** The names that may be given to what is named, in the order of the files. */
export function namesOf(job: Job, takes: NameTakes): string[] {
  const names = (takes.under ?? []).flatMap(({ file, table }) => keysOf(job, file, table));
  if (takes.of === "point") names.push(...centres(job));
  return [...new Set([...names, ...(takes.also ?? [])])];
}

/** Points of the outside edge, in its order. */
export function outlineOf(job: Job): string[] {
  const through = at(job.files.design?.values, ["outline", "through"]);
  return Array.isArray(through) ? through.filter((name) => typeof name === "string") : [];
}

const CAPITALS = "ABCDEFGHIJKLMNOPQRSTUVWXYZ";

/** How the names of a table begin, where they are counted. */
const BEGINS: Record<string, string> = {
  holes: "h",
  slots: "s",
  windows: "w",
  bends: "b",
  seams: "s",
  marks: "mark",
  panels: "panel",
  mounts: "m",
  places: "place",
  loads: "load",
  keep_outs: "keep",
  measures: "m",
  together: "together",
  instruments: "own",
};

/** Holes, slots and windows share one set of names. */
const SHARED = ["holes", "slots", "windows"];

/** A name that is free in a table: the next letter for a point, the next number for all else. */
export function nextName(job: Job, file: FileName, way: Way): string {
  const key = String(way[0]);
  const tables = SHARED.includes(key) ? SHARED : [key];
  const taken = new Set(tables.flatMap((table) => keysOf(job, file, table)));
  if (key === "points") {
    for (const name of centres(job)) taken.add(name);
    const letter = [...CAPITALS].find((letter) => !taken.has(letter));
    if (letter) return letter;
  }
  const begin = key === "points" ? "P" : (BEGINS[key] ?? "n");
  let number = 1;
  while (taken.has(`${begin}${number}`)) number += 1;
  return `${begin}${number}`;
}

const NAME = /^[A-Za-z][A-Za-z0-9_]*$/;

/** Why a name cannot be given to something new; nothing where it can. */
export function notFree(name: string, taken: string[]): string | null {
  if (!NAME.test(name)) return "A name is letters, digits and underscores, beginning with a letter.";
  return taken.includes(name) ? `${name} is there already.` : null;
}
