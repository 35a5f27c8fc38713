/** A load as it is typed, and as the act that adds it to the fit. */

import { notFree } from "../forms/names";
import { numberOf } from "../typed";
import type { Act } from "../types";
import type { LoadKind } from "./told";

export interface TypedLoad {
  name: string;
  size: string;
  /** Of a drop. */
  height: string;
  way: string;
  /** "support", or the name of a hole. */
  at: string;
  perDay: string;
}

/** The six ways along the axes of the equipment, as the fit writes them. */
export const WAYS = ["x", "-x", "y", "-y", "z", "-z"] as const;

/** A name that is free: "push", "push2". */
export function freeName(kind: string, taken: string[]): string {
  for (let number = 1; ; number += 1) {
    const name = number === 1 ? kind : `${kind}${number}`;
    if (!taken.includes(name)) return name;
  }
}

/** What is usual of a kind, to begin with; `inch`: in inches and pounds. */
export function usualLoad(kind: LoadKind, inch: boolean, taken: string[], at: string): TypedLoad {
  const usual = kind.usual[inch ? 1 : 0];
  const falls = kind.kind === "drop";
  return {
    name: freeName(kind.kind, taken),
    // What falls is not usual: it is what hangs there.
    size: falls ? "" : usual,
    height: falls ? usual : "",
    way: kind.kind === "carry" || falls ? "-z" : "x",
    at,
    perDay: kind.per_day,
  };
}

/** The same load as one of another kind: what was typed stays, and what was only usual of the kind is what is usual now. */
export function asKind(load: TypedLoad, from: LoadKind, to: LoadKind, inch: boolean, taken: string[]): TypedLoad {
  const [before, now] = [usualLoad(from, inch, taken, load.at), usualLoad(to, inch, taken, load.at)];
  const keys = Object.keys(now) as (keyof TypedLoad)[];
  return Object.fromEntries(keys.map((key) => [key, load[key] === before[key] ? now[key] : load[key]])) as unknown as TypedLoad;
}

/** What is still missing or cannot be, in words; empty when it can be added. */
export function missing(kind: LoadKind, load: TypedLoad, taken: string[]): string {
  const wrongName = notFree(load.name, taken);
  if (wrongName) return wrongName;
  if (load.size.trim() === "") return kind.kind === "drop" ? "How heavy is what falls?" : "How hard?";
  if (kind.kind === "drop" && load.height.trim() === "") return "How far does it fall?";
  if (load.perDay.trim() !== "" && !((numberOf(load.perDay) ?? 0) > 0)) return "How often a day is a number above 0, or nothing.";
  return "";
}

export function loadAct(kind: LoadKind, load: TypedLoad): Act {
  // A weight may be said of a push too: the key goes by what was typed.
  const weighs = /(kg|g|lb|lbs|oz)\s*$/i.test(load.size.trim());
  const key = kind.size_key === "force" && weighs ? "mass" : kind.size_key === "mass" && kind.kind !== "drop" && !weighs ? "force" : kind.size_key;
  const to: Record<string, unknown> = { kind: kind.kind, [key]: load.size.trim(), [kind.way_key]: load.way };
  if (kind.kind === "drop") to.height = load.height.trim();
  if (load.at !== "support") to.holes = [load.at];
  if (load.perDay.trim() !== "") to.per_day = numberOf(load.perDay);
  return { act: "set", at: ["loads", load.name], to };
}
