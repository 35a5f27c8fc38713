/** The mark-out as the server draws it: where its points, openings and creases are on the drawing. */

import { drawn } from "../picture";
import type { Box, Place, Thing } from "./targets";

export interface Drawing {
  root: SVGSVGElement;
  all: Box;
  places: Place[];
}

function numbers(text: string | null): number[] {
  return (text ?? "").split(/[\s,]+/).map(Number);
}

type Spot = [number, number];

/** Where the lines of a path begin and end. */
export function endsOfPath(commands: string): Spot[] {
  return [...commands.matchAll(/[MLA]([^A-Za-z]*)/g)].flatMap(([, said]): Spot[] => {
    const [x, y] = numbers((said ?? "").trim()).slice(-2);
    return x !== undefined && y !== undefined && Number.isFinite(x + y) ? [[x, y]] : [];
  });
}

function between(least: number, most: number, share = 0.5): number {
  return least + share * (most - least);
}

/** The middle of what is drawn round. */
function middle(group: Element): Spot | null {
  const mark = group.querySelector("circle");
  if (mark) {
    const [x, y] = [Number(mark.getAttribute("cx")), Number(mark.getAttribute("cy"))];
    return Number.isFinite(x + y) ? [x, y] : null;
  }
  const ends = endsOfPath(group.querySelector("path")?.getAttribute("d") ?? "");
  if (ends.length === 0) return null;
  const [across, down] = [ends.map(([x]) => x), ends.map(([, y]) => y)];
  return [between(Math.min(...across), Math.max(...across)), between(Math.min(...down), Math.max(...down))];
}

/** Along a crease, the best first. */
const SHARES = [0.5, 0.4, 0.6, 0.3, 0.7, 0.2, 0.8];

/** The place on a line that is farthest from all else; its middle where nothing is nearer than `enough`. */
function clearest([from, to]: [Spot, Spot], others: Spot[], enough: number): Spot {
  let best: { at: Spot; off: number } | null = null;
  for (const share of SHARES) {
    const at: Spot = [between(from[0], to[0], share), between(from[1], to[1], share)];
    const off = Math.min(enough, ...others.map(([x, y]) => Math.hypot(x - at[0], y - at[1])));
    if (!best || off > best.off) best = { at, off };
  }
  return best?.at ?? from;
}

/** A target of a finger on a drawing of middle size, as a share of its width. */
const ENOUGH = 1 / 8;

/** Where everything is that can be chosen. */
function placesOf(root: Element, width: number): Place[] {
  const of = (is: Thing["is"]) => [...root.querySelectorAll(`[data-${is}]`)].map((group) => ({ group, name: group.getAttribute(`data-${is}`) ?? "" }));
  const places = (["point", "hole", "slot", "window"] as const).flatMap((is) =>
    of(is).flatMap(({ group, name }): Place[] => {
      const at = middle(group);
      return at && name ? [{ is, name, x: at[0], y: at[1] }] : [];
    }),
  );
  for (const { group, name } of of("bend")) {
    const [from, to] = endsOfPath(group.querySelector("path")?.getAttribute("d") ?? "");
    if (!from || !to || !name) continue;
    const [x, y] = clearest([from, to], places.map(({ x, y }): Spot => [x, y]), ENOUGH * width);
    places.push({ is: "bend", name, x, y });
  }
  return places;
}

const REFERS = ["aria-labelledby", "aria-describedby", "href", "fill", "stroke", "clip-path", "mask", "marker-start", "marker-end"];

/** The same drawing may stand on the page twice: each has ids of its own, and its references with them. */
export function withOwnIds(root: Element, own: string): void {
  const ids = new Map<string, string>();
  for (const element of [root, ...root.querySelectorAll("[id]")]) {
    if (!element.id) continue;
    ids.set(element.id, `${own}-${element.id}`);
    element.id = `${own}-${element.id}`;
  }
  for (const element of [root, ...root.querySelectorAll("*")]) {
    for (const name of REFERS) {
      const said = element.getAttribute(name);
      if (said === null) continue;
      const next = name.startsWith("aria-")
        ? said.split(" ").map((id) => ids.get(id) ?? id).join(" ")
        : said.replace(/#([^)"']+)/, (all, id: string) => (ids.has(id) ? `#${ids.get(id)}` : all));
      if (next !== said) element.setAttribute(name, next);
    }
  }
}

/** Nothing where it is no drawing, or has no size. */
export function drawingOf(svg: string, own: string): Drawing | null {
  const root = drawn(svg);
  if (!root) return null;
  withOwnIds(root, own);
  const [x = 0, y = 0, width = 0, height = 0] = numbers(root.getAttribute("viewBox"));
  if (!(width > 0 && height > 0)) return null;
  const places = placesOf(root, width);
  root.removeAttribute("width");
  root.removeAttribute("height");
  root.setAttribute("role", "img");
  root.setAttribute("focusable", "false");
  return { root, all: { x, y, width, height }, places };
}
