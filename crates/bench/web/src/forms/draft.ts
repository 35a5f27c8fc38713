/** A value while it is being said: begun blank, filled place by place, and what of it is still to be said. */

import { inWords, isTable, numberOf, rowsOf } from "../typed";
import type { Typed, Way } from "../types";
import { fits, type Key, type Shape, shapeOf, type Takes, whichOf } from "./keys";
import { meantBy, partOf, placeIn } from "./words";

/** As it is sent. */
export type Plain = string | number | boolean | Plain[] | { [key: string]: Plain };

/** What is there before anything is said. */
export function blank(takes: Takes): Typed {
  switch (takes.is) {
    case "flag":
    case "shapes":
      return null;
    case "list":
      return takes.least === takes.most ? Array.from({ length: takes.least }, () => blank(takes.of)) : [];
    case "pair":
      return [blank(takes.first), blank(takes.second)];
    case "table":
      return { table: takes.keys.filter((key) => key.must).map((key) => [key.name, blank(key.takes)]) };
    case "named":
      return { table: [] };
    case "either":
      return blank(takes.any[0] ?? { is: "text" });
    default:
      return "";
  }
}

/** A form of a table with nothing said but what stood under the same keys before. */
export function blankShape(shape: Shape, before: Typed | undefined): Typed {
  const kept = new Map(rowsOf(before));
  // A list alone is said by the key that takes just that.
  if (Array.isArray(before)) kept.set(shape.lead, before);
  const rows = shape.keys
    .filter((key) => key.must || kept.has(key.name))
    .map((key): [string, Typed] => {
      const old = kept.get(key.name);
      return [key.name, old !== undefined && fits(key.takes, old) ? old : blank(key.takes)];
    });
  return { table: rows };
}

/** The value with something else at a place of it; `undefined` takes that out. */
export function put(value: Typed | undefined, way: Way, to: Typed | undefined): Typed | undefined {
  const [step, ...rest] = way;
  if (step === undefined) return to;
  if (typeof step === "number") {
    const list = Array.isArray(value) ? [...value] : [];
    const next = put(list[step], rest, to);
    if (next === undefined) list.splice(step, 1);
    else {
      while (list.length < step) list.push("");
      list[step] = next;
    }
    return list;
  }
  const rows = rowsOf(value);
  const next = put(rows.find(([key]) => key === step)?.[1], rest, to);
  if (next === undefined) return { table: rows.filter(([key]) => key !== step) };
  const known = rows.some(([key]) => key === step);
  return { table: known ? rows.map(([key, row]) => [key, key === step ? next : row]) : [...rows, [step, next]] };
}

/** A row put into the place of another. */
export function moved(list: Typed[], from: number, to: number): Typed[] {
  const row = list[from];
  if (row === undefined || to < 0 || to >= list.length) return list;
  const rest = list.filter((_, index) => index !== from);
  return [...rest.slice(0, to), row, ...rest.slice(to)];
}

/** A value of the file as it is sent. */
export function plainOf(value: Typed): Plain {
  if (value === null) return "";
  if (Array.isArray(value)) return value.map(plainOf);
  if (isTable(value)) return Object.fromEntries(value.table.map(([key, row]) => [key, plainOf(row)]));
  return value;
}

function builtKeys(keys: Key[], draft: Typed | undefined): Plain | undefined {
  const said = new Map(rowsOf(draft));
  const built: [string, Plain][] = [];
  for (const key of keys) {
    const value = builtOf(key.takes, said.get(key.name));
    if (value !== undefined) built.push([key.name, value]);
  }
  return built.length > 0 ? Object.fromEntries(built) : undefined;
}

/** What is sent of a draft: what is not said is left out. Nothing where nothing is said. */
export function builtOf(takes: Takes, draft: Typed | undefined): Plain | undefined {
  if (draft === undefined || draft === null) return undefined;
  switch (takes.is) {
    case "number":
    case "whole": {
      if (typeof draft === "number") return draft;
      return typeof draft === "string" && draft.trim() !== "" ? (numberOf(draft) ?? draft.trim()) : undefined;
    }
    case "list": {
      if (!Array.isArray(draft)) return undefined;
      const rows = draft.map((row) => builtOf(takes.of, row)).filter((row) => row !== undefined);
      return rows.length > 0 ? rows : undefined;
    }
    case "pair": {
      if (!Array.isArray(draft)) return undefined;
      const both = [builtOf(takes.first, draft[0]), builtOf(takes.second, draft[1])].filter((row) => row !== undefined);
      return both.length > 0 ? both : undefined;
    }
    case "table":
      return builtKeys(takes.keys, draft);
    case "shapes":
      return builtKeys(shapeOf(takes.shapes, draft)?.keys ?? [], draft);
    case "named": {
      const rows = rowsOf(draft).map(([key, row]): [string, Plain | undefined] => [key, builtOf(takes.of, row)]);
      const said = rows.filter((row): row is [string, Plain] => row[1] !== undefined);
      return said.length > 0 ? Object.fromEntries(said) : undefined;
    }
    case "either": {
      const chosen = takes.any[whichOf(takes.any, draft)];
      return chosen && shortest(takes.any, builtOf(chosen, draft), chosen);
    }
    case "direction":
      if (Array.isArray(draft)) {
        const said = draft.filter((row) => row !== "" && row !== null);
        return said.length > 0 ? said.map((row) => (typeof row === "string" ? (numberOf(row) ?? row.trim()) : plainOf(row))) : undefined;
      }
      break;
    default:
  }
  if (typeof draft === "string") {
    const text = draft.trim();
    return text === "" || text === "-" ? undefined : text;
  }
  return plainOf(draft);
}

/** A table with one key is said by that key's value alone, where that is taken too. */
function shortest(any: Takes[], built: Plain | undefined, chosen: Takes): Plain | undefined {
  if (typeof built !== "object" || Array.isArray(built) || chosen.is !== "shapes") return built;
  const [only, ...more] = Object.entries(built);
  if (!only || more.length > 0) return built;
  const [name, value] = only;
  const key = chosen.shapes.flatMap((shape) => shape.keys).find((key) => key.name === name);
  const alone = any.some((takes) => takes.is === "list" && JSON.stringify(takes) === JSON.stringify(key?.takes));
  return alone ? value : built;
}

/** What a key means, with the fields that are still to be filled; of a table of keys each is told by itself. */
function inPlainWords(key: Key, left: string[]): string[] {
  const means = meantBy(key);
  const label = inWords(key.name);
  if (left.length === 0 || means === "" || means === label || left.some((says) => says.includes("("))) return left;
  return [`${means} (${left.join("; ")})`];
}

function missingKeys(keys: Key[], draft: Typed | undefined): string[] {
  const said = new Map(rowsOf(draft));
  return keys.flatMap((key) => {
    const value = said.get(key.name);
    const left = inPlainWords(key, missing(key.takes, value, inWords(key.name), key.name));
    if (key.must) return left;
    // What may be left out must be whole once it is begun.
    return builtOf(key.takes, value) === undefined ? [] : left;
  });
}

/** What is still to be said of a draft, in words and by the labels of its fields. */
export function missing(takes: Takes, draft: Typed | undefined, label: string, key = ""): string[] {
  switch (takes.is) {
    case "list": {
      const rows = Array.isArray(draft) ? draft : [];
      const fixed = takes.least === takes.most;
      const left = rows.flatMap((row, index) => missing(takes.of, row, fixed ? placeIn(label, key, takes, index) : `${label} ${index + 1}`));
      const short = takes.least - rows.length;
      return short > 0 ? [...left, `${label}: ${short} more`] : left;
    }
    case "pair": {
      const rows = Array.isArray(draft) ? draft : [];
      return [
        ...missing(takes.first, rows[0], `${label} ${partOf(takes.first)}`),
        ...missing(takes.second, rows[1], `${label} ${partOf(takes.second)}`),
      ];
    }
    case "table":
      return missingKeys(takes.keys, draft);
    case "shapes": {
      const shape = shapeOf(takes.shapes, draft);
      return shape ? missingKeys(shape.keys, draft) : [`how the ${label} is said`];
    }
    case "named":
      return rowsOf(draft).flatMap(([key, row]) => missing(takes.of, row, `${label} ${key}`));
    case "either":
      return missing(takes.any[whichOf(takes.any, draft)] ?? { is: "text" }, draft, label, key);
    case "line": {
      const [a, b] = String(draft ?? "").split("-");
      return a && b ? [] : [label];
    }
    case "direction":
      if (Array.isArray(draft)) return draft.length === 3 && draft.every((row) => row !== "" && row !== null) ? [] : [label];
      break;
    default:
  }
  return builtOf(takes, draft) === undefined ? [label] : [];
}
