/** What the files may say: every key with what its value may be, as the server tells it. */

import { isTable } from "../typed";
import type { FileName, Typed, Way } from "../types";

export type SumOf =
  | "length"
  | "angle"
  | "mass"
  | "force"
  | "moment"
  | "stiffness"
  | "turn-stiffness"
  | "per-length"
  | "any";

export type Takes =
  | { is: "text" | "flag" | "number" | "whole" | "stock" | "thread" | "line" | "direction" | "corner" }
  | { is: "sum"; of: SumOf }
  | { is: "rate"; words: string }
  | NameTakes
  | { is: "word"; one_of: string[] }
  | { is: "list"; of: Takes; least: number; most: number }
  | { is: "pair"; first: Takes; second: Takes }
  | { is: "table"; keys: Key[] }
  | { is: "shapes"; shapes: Shape[] }
  | { is: "named"; of: Takes; key: "thing" | "line"; known?: NameTakes }
  | { is: "either"; any: Takes[] };

/** A name of something that is said elsewhere. */
export interface NameTakes {
  is: "name";
  /** What is named: "point", "hole", ... */
  of: string | null;
  /** Where such things have their names. */
  under?: { file: FileName; table: string }[];
  /** What is known by a name beside these. */
  also?: string[];
}

export interface Key {
  name: string;
  must: boolean;
  says: string;
  example: string;
  takes: Takes;
}

/** A form of a table, known by a leading key that no other form has. */
export interface Shape {
  lead: string;
  keys: Key[];
}

export type Keys = Record<FileName, Key[]>;

export type TakesOf<Is extends Takes["is"]> = Extract<Takes, { is: Is }>;

export const POINT: NameTakes = { is: "name", of: "point", under: [{ file: "design", table: "points" }] };
export const HOLE: NameTakes = { is: "name", of: "hole", under: [{ file: "design", table: "holes" }] };
export const TEXT: Takes = { is: "text" };

/** The form that a table has: the one whose leading key it has. */
export function shapeOf(shapes: Shape[], value: Typed | undefined): Shape | undefined {
  if (!isTable(value)) return undefined;
  const has = new Set(value.table.map(([key]) => key));
  return shapes.find((shape) => has.has(shape.lead));
}

/** Whether a value is of the type that is taken; what is not said yet is of every type of words. */
export function fits(takes: Takes, value: Typed | undefined): boolean {
  switch (takes.is) {
    case "flag":
      return typeof value === "boolean";
    case "number":
    case "whole":
      return typeof value === "number" || value === "";
    case "sum":
      return typeof value === "string" || typeof value === "number";
    case "word":
      return typeof value === "string" && (value === "" || takes.one_of.includes(value));
    case "list":
      return Array.isArray(value) && value.every((row) => fits(takes.of, row) || row === null || row === "");
    case "pair":
      return Array.isArray(value);
    case "direction":
      return typeof value === "string" || Array.isArray(value);
    case "table":
    case "named":
      return isTable(value);
    case "shapes":
      return isTable(value);
    case "either":
      return takes.any.some((any) => fits(any, value));
    default:
      return typeof value === "string";
  }
}

/** Which of several a value is. */
export function whichOf(any: Takes[], value: Typed | undefined): number {
  const found = any.findIndex((takes) => fits(takes, value));
  return Math.max(found, 0);
}

/** What the value at a way may be; nothing where the tables have no such place. */
export function takesAt(keys: Key[], way: Way): Takes | undefined {
  const [first, ...rest] = way;
  const start = keys.find((key) => key.name === first)?.takes;
  return rest.reduce<Takes | undefined>((takes, step) => (takes ? follow(takes, step) : undefined), start);
}

function follow(takes: Takes, step: string | number): Takes | undefined {
  switch (takes.is) {
    case "table":
      return takes.keys.find((key) => key.name === step)?.takes;
    case "shapes":
      return takes.shapes.flatMap((shape) => shape.keys).find((key) => key.name === step)?.takes;
    case "named":
      return takes.of;
    case "list":
      return typeof step === "number" ? takes.of : undefined;
    case "pair":
      return step === 0 ? takes.first : takes.second;
    case "either":
      for (const any of takes.any) {
        const found = follow(any, step);
        if (found) return found;
      }
      return undefined;
    default:
      return undefined;
  }
}

/** What a value seems to be, where the tables do not say: each of its values is then a text, a number or yes or no. */
export function seemsToTake(value: Typed | undefined): Takes {
  if (typeof value === "boolean") return { is: "flag" };
  if (typeof value === "number") return { is: "number" };
  if (Array.isArray(value)) return { is: "list", of: seemsToTake(value[0]), least: 0, most: 20_000 };
  if (isTable(value)) {
    const keys = value.table.map(([name, row]) => ({ name, must: true, says: "", example: "", takes: seemsToTake(row) }));
    return { is: "table", keys };
  }
  return TEXT;
}
