/** Where the buttons over a drawing stand: one for each thing, and one for a few that lie near each other. */

import type { Named } from "../types";

/** What can be chosen in the picture. */
export interface Thing {
  is: Exclude<Named, "panel">;
  name: string;
}

/** The same of every thing that is the same. */
export function thingKey({ is, name }: Thing): string {
  return `${is}:${name}`;
}

export interface Place extends Thing {
  /** In the units of the drawing's view box. */
  x: number;
  y: number;
}

/** A part of the drawing, in the units of its view box. */
export interface Box {
  x: number;
  y: number;
  width: number;
  height: number;
}

export interface Target {
  things: Thing[];
  /** Its upper left corner and its size, px from the upper left corner of what is seen. */
  left: number;
  top: number;
  width: number;
  height: number;
  /** Where its first thing is, px from its own upper left corner. */
  mark: { x: number; y: number };
}

/** Nearer than this no drawing shows more. */
export const MOST_ZOOM = 16;

export interface View {
  zoom: number;
  /** The middle of what is seen, in the units of the view box. */
  x: number;
  y: number;
}

export function whole(all: Box): View {
  return { zoom: 1, x: all.x + all.width / 2, y: all.y + all.height / 2 };
}

function between(least: number, value: number, most: number): number {
  return Math.min(Math.max(value, least), Math.max(least, most));
}

/** The part that is seen; it does not leave the drawing. */
export function seen(all: Box, view: View): Box {
  const width = all.width / view.zoom;
  const height = all.height / view.zoom;
  return {
    x: between(all.x, view.x - width / 2, all.x + all.width - width),
    y: between(all.y, view.y - height / 2, all.y + all.height - height),
    width,
    height,
  };
}

/** Nearer (2) or farther (1/2), about the middle. */
export function zoomed(all: Box, view: View, by: number, about?: { x: number; y: number }): View {
  const zoom = between(1, view.zoom * by, MOST_ZOOM);
  if (zoom === 1) return whole(all);
  const part = seen(all, { zoom, ...(about ?? { x: view.x, y: view.y }) });
  return { zoom, x: part.x + part.width / 2, y: part.y + part.height / 2 };
}

/** Half of what is seen to one side. */
export function panned(all: Box, view: View, right: number, down: number): View {
  const part = seen(all, view);
  const next = seen(all, {
    zoom: view.zoom,
    x: part.x + part.width / 2 + (right * part.width) / 2,
    y: part.y + part.height / 2 + (down * part.height) / 2,
  });
  return { zoom: view.zoom, x: next.x + next.width / 2, y: next.y + next.height / 2 };
}

/** The drawing with room above and below, so that it is not shown lower than so many px. */
export function roomy(all: Box, width_px: number, least_px: number): Box {
  if (width_px <= 0) return all;
  const height = Math.max(all.height, (all.width * least_px) / width_px);
  return { ...all, y: all.y - (height - all.height) / 2, height };
}

export function isInside(part: Box, place: { x: number; y: number }): boolean {
  // A point on the very edge is in sight.
  const slack = 1e-9 * (part.width + part.height);
  return (
    place.x >= part.x - slack &&
    place.x <= part.x + part.width + slack &&
    place.y >= part.y - slack &&
    place.y <= part.y + part.height + slack
  );
}

/** A place, px from the upper left corner of what is seen. */
interface Mark {
  thing: Thing;
  at: Pair;
}

/** Across, and down. */
type Pair = [number, number];

/** A part of what is seen, for the buttons of the places in it. */
interface Cell {
  least: Pair;
  most: Pair;
}

/** A hand that shakes lands up to 22 px off: places this share of a target apart are told apart by it. */
const TOLD_APART = 0.8;
/** More than these are parted wherever they can be: a choice among a few is quick. */
const MOST_TOGETHER = 4;

/** Where a cell is cut in two, each as large as a target; the widest gap between its places. */
function widestGap(marks: Mark[], cell: Cell, target_px: number): { axis: 0 | 1; cut: number; gap: number } | null {
  let best: { axis: 0 | 1; cut: number; gap: number } | null = null;
  for (const axis of [0, 1] as const) {
    const [low, high] = [cell.least[axis] + target_px, cell.most[axis] - target_px];
    const along = marks.map(({ at }) => at[axis]).sort((a, b) => a - b);
    for (let index = 1; index < along.length; index += 1) {
      const [from, to] = [along[index - 1] ?? 0, along[index] ?? 0];
      const cut = between(low, (from + to) / 2, high);
      const fits = low <= high && cut > from && cut < to;
      if (fits && (!best || to - from > best.gap)) best = { axis, cut, gap: to - from };
    }
  }
  return best;
}

/** Parts the places until those that are together lie near each other. */
function parted(marks: Mark[], cell: Cell, target_px: number): { marks: Mark[]; cell: Cell }[] {
  if (marks.length === 0) return [];
  const widest = widestGap(marks, cell, target_px);
  if (!widest || (widest.gap < TOLD_APART * target_px && marks.length <= MOST_TOGETHER)) return [{ marks, cell }];
  const { axis, cut } = widest;
  const halves = [
    { marks: marks.filter(({ at }) => at[axis] < cut), cell: { ...cell, most: withAt(cell.most, axis, cut) } },
    { marks: marks.filter(({ at }) => at[axis] >= cut), cell: { ...cell, least: withAt(cell.least, axis, cut) } },
  ];
  return halves.flatMap((half) => parted(half.marks, half.cell, target_px));
}

function withAt([across, down]: Pair, axis: 0 | 1, to: number): Pair {
  return axis === 0 ? [to, down] : [across, to];
}

/** Round these along one axis, as wide as a target at least, and inside the cell. */
function round(marks: Mark[], axis: 0 | 1, cell: Cell, target_px: number): [number, number] {
  const along = marks.map(({ at }) => at[axis]);
  const [least, most] = [Math.min(...along), Math.max(...along)];
  const size = Math.max(most - least, target_px);
  const start = between(cell.least[axis], (least + most - size) / 2, cell.most[axis] - size);
  return [start, size];
}

/**
 * The buttons for what is in sight, each at least `target_px` wide and high; none lies over another, and each holds its places.
 * Those that lie too near each other are one.
 */
export function targetsOf(places: Place[], part: Box, shown: { width: number; height: number }, target_px: number): Target[] {
  const across = shown.width / part.width;
  const down = shown.height / part.height;
  const marks = places
    .filter((place) => isInside(part, place))
    .map(({ is, name, x, y }): Mark => ({ thing: { is, name }, at: [(x - part.x) * across, (y - part.y) * down] }));
  const all: Cell = { least: [0, 0], most: [shown.width, shown.height] };
  return parted(marks, all, target_px).map(({ marks, cell }) => {
    const [left, width] = round(marks, 0, cell, target_px);
    const [top, height] = round(marks, 1, cell, target_px);
    const [x, y] = marks[0]?.at ?? [left, top];
    return { things: marks.map(({ thing }) => thing), left, top, width, height, mark: { x: x - left, y: y - top } };
  });
}
