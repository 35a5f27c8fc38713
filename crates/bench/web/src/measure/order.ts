/** Which reading comes next, and how far it has come. */

import type { Act, Typed, Way } from "../types";
import { at } from "../typed";
import type { MeasureItem, NextReading } from "./measured";

export function itemKey(item: Pick<MeasureItem, "file" | "way">): string {
  return JSON.stringify([item.file, item.way]);
}

/** What is typed for a reading stays with it also where rows before it come and go: by what it is called, and which of that name. */
export function unkeptKey(items: MeasureItem[], item: MeasureItem): string {
  const same = (other: MeasureItem) => other.file === item.file && other.label === item.label;
  const number = items.filter(same).sort((one, other) => placeOf(one) - placeOf(other)).indexOf(item);
  return JSON.stringify([item.file, item.label, number]);
}

/** The row of the file that it stands in. */
function placeOf(item: MeasureItem): number {
  return item.way.find((step) => typeof step === "number") ?? 0;
}

/** The first that is not measured; else the first that looks like a slip; else the first. */
export function firstOf(items: MeasureItem[]): MeasureItem | undefined {
  return items.find((item) => item.typed === null && !item.found) ?? items.find((item) => item.suspect) ?? items[0];
}

/** The one so many places on, round from the last to the first. */
export function beside(items: MeasureItem[], item: MeasureItem, by: -1 | 1): MeasureItem | undefined {
  const here = items.findIndex((other) => itemKey(other) === itemKey(item));
  return items[(here + by + items.length) % items.length];
}

/** Where the instrument of a reading stands; nothing where it is one for the whole file. */
export function instrumentWay(values: Typed | undefined, way: Way): Way | null {
  const holders = way.map((_, index) => way.slice(0, way.length - 1 - index)).filter((way) => way.length >= 2);
  for (const holder of holders) {
    const there = at(values, holder);
    if (typeof there === "object" && there !== null && !Array.isArray(there)) return [...holder, "with"];
  }
  return null;
}

/** Writes the instrument; a point of two numbers alone becomes a table that can say it. */
export function actsOfInstrument(values: Typed | undefined, item: MeasureItem, name: string | null): Act[] | null {
  const way = instrumentWay(values, item.way);
  if (way) {
    const table = at(values, way.slice(0, -1));
    // A measure has no instrument of its own.
    if (item.kind === "measure" || table === undefined) return null;
    return name === null ? [{ act: "remove", at: way }] : [{ act: "set", at: way, to: name }];
  }
  const [head, point] = item.way;
  const both = at(values, item.way.slice(0, 2));
  if (head !== "points" || point === undefined || !Array.isArray(both) || name === null) return null;
  return [
    { act: "set", at: ["points", point], to: { at: both } },
    { act: "set", at: ["points", point, "with"], to: name },
  ];
}

/** Writes a reading that is not there yet. */
export function actsOfNew(next: NextReading, count: number, read: string, instrument: string | null): Act[] {
  const row: Way = ["readings", count];
  const acts: Act[] = [
    { act: "add", at: ["readings"], to: { between: next.between } },
    { act: "set", at: [...row, "read"], to: read },
  ];
  return instrument === null ? acts : [...acts, { act: "set", at: [...row, "with"], to: instrument }];
}
