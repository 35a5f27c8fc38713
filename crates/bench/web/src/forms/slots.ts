/** The places of a draft that take a point: they are filled by tapping points in the picture, one after the other. */

import { rowsOf } from "../typed";
import type { Typed, Way } from "../types";
import { put } from "./draft";
import { type Key, shapeOf, type Takes, whichOf } from "./keys";
import { partOf, placeIn } from "./words";

export interface Slot {
  way: Way;
  /** Which end of a line. */
  end?: 0 | 1;
  label: string;
  filled: boolean;
  /** Must it be said? */
  must: boolean;
  /** Another at the end of a list that may grow. */
  more: boolean;
}

/** The two ends of a line as it is being said. */
export function endsOf(line: Typed | undefined): [string, string] {
  const [from, to] = typeof line === "string" ? line.split("-") : [];
  return [from ?? "", to ?? ""];
}

export function slotKey(slot: Pick<Slot, "way" | "end">): string {
  return JSON.stringify([slot.way, slot.end ?? null]);
}

function ofKeys(keys: Key[], value: Typed | undefined, way: Way, must: boolean): Slot[] {
  const said = new Map(rowsOf(value));
  return keys.flatMap((key) =>
    slotsOf(key.takes, said.get(key.name), [...way, key.name], key.name.replace(/_/g, " "), must && key.must),
  );
}

/** All places of a draft that take a point, in the order they are said. */
export function slotsOf(takes: Takes, value: Typed | undefined, way: Way = [], label = "", must = true): Slot[] {
  switch (takes.is) {
    case "name":
      if (takes.of !== "point") return [];
      return [{ way, label, must, more: false, filled: typeof value === "string" && value !== "" }];
    case "line": {
      const ends = endsOf(value);
      return ([0, 1] as const).map((end) => ({
        way,
        end,
        label: `${label}, ${end === 0 ? "one end" : "the other end"}`,
        must,
        more: false,
        filled: ends[end] !== "",
      }));
    }
    case "list": {
      const rows = Array.isArray(value) ? value : [];
      const key = String(way[way.length - 1] ?? "");
      const called = (index: number) => (takes.least === takes.most ? placeIn(label, key, takes, index) : `${label} ${index + 1}`);
      const slots = rows.flatMap((row, index) => slotsOf(takes.of, row, [...way, index], called(index), must));
      if (takes.least === takes.most || takes.of.is !== "name" || takes.of.of !== "point") return slots;
      const next = rows.length;
      return [...slots, { way: [...way, next], label: `${label} ${next + 1}`, must: must && next < takes.least, more: true, filled: false }];
    }
    case "pair": {
      const rows = Array.isArray(value) ? value : [];
      return [
        ...slotsOf(takes.first, rows[0], [...way, 0], `${label} ${partOf(takes.first)}`, must),
        ...slotsOf(takes.second, rows[1], [...way, 1], `${label} ${partOf(takes.second)}`, must),
      ];
    }
    case "table":
      return ofKeys(takes.keys, value, way, must);
    case "shapes":
      return ofKeys(shapeOf(takes.shapes, value)?.keys ?? [], value, way, must);
    case "either":
      return slotsOf(takes.any[whichOf(takes.any, value)] ?? { is: "text" }, value, way, label, must);
    default:
      return [];
  }
}

/** The draft with a point put into a place. */
export function filled(draft: Typed | undefined, slot: Pick<Slot, "way" | "end">, name: string, at: (way: Way) => Typed | undefined): Typed | undefined {
  if (slot.end === undefined) return put(draft, slot.way, name);
  const ends = endsOf(at(slot.way));
  ends[slot.end] = name;
  return put(draft, slot.way, ends.join("-"));
}

/**
 * Which place the next tap fills: the one that was chosen, while it is there; else the first that must be said and is not. A list
 * that is being filled goes on until something else is chosen.
 */
export function armedOf(slots: Slot[], chosen: string | null): Slot | null {
  const asked = chosen === null ? undefined : slots.find((slot) => slotKey(slot) === chosen);
  return asked ?? slots.find((slot) => slot.must && !slot.filled) ?? null;
}
