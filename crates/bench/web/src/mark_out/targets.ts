/** Where the buttons over a drawing stand: one for each thing, and one for those that lie too near each other. */

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

function overlap(a: Target, b: Target): boolean {
  return a.left < b.left + b.width && b.left < a.left + a.width && a.top < b.top + b.height && b.top < a.top + a.height;
}

function joined(a: Target, b: Target): Target {
  const left = Math.min(a.left, b.left);
  const top = Math.min(a.top, b.top);
  const right = Math.max(a.left + a.width, b.left + b.width);
  const bottom = Math.max(a.top + a.height, b.top + b.height);
  return { things: [...a.things, ...b.things], left, top, width: right - left, height: bottom - top };
}

/** The buttons for what is in sight, each at least `target_px` wide and high; those that would overlap are one. */
export function targetsOf(places: Place[], part: Box, shown: { width: number; height: number }, target_px: number): Target[] {
  const across = shown.width / part.width;
  const down = shown.height / part.height;
  let targets: Target[] = places
    .filter((place) => isInside(part, place))
    .map((place) => ({
      things: [{ is: place.is, name: place.name }],
      left: (place.x - part.x) * across - target_px / 2,
      top: (place.y - part.y) * down - target_px / 2,
      width: target_px,
      height: target_px,
    }));
  for (let merged = true; merged; ) {
    merged = false;
    const next: Target[] = [];
    for (const target of targets) {
      const hit = next.findIndex((other) => overlap(other, target));
      const other = next[hit];
      if (other) {
        next[hit] = joined(other, target);
        merged = true;
      } else next.push(target);
    }
    targets = next;
  }
  return targets;
}
