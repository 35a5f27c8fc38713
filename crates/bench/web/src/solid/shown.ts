/** What is shown in 3-D, whatever draws it. */

import { framesAt } from "./steps";
import type { Folding, Held, Three } from "./told";

/** A body: triangles and edges by its points (x, y, z one after another, mm). */
export interface Body {
  points: ArrayLike<number>;
  triangles: number[];
  edges: number[];
  /** Bands of colour, with how far up them each corner of each triangle is. */
  bands?: { colours: string[]; shares: number[] };
}

export interface Shown {
  bodies: Body[];
  /** Ends of lines, x, y, z one after another. */
  lines: { segments: number[]; dashed: boolean }[];
  labels: { at: Three; words: string }[];
  low: Three;
  high: Three;
}

/** Colours of the page, light or dark. */
export interface Look {
  ink: string;
  plate: string;
}

/** The places of one moment: how rigid bodies stand, and the points of the others. */
export interface Moment {
  places: (readonly number[])[];
  points: Float32Array[];
}

/** A run of points as single lines. */
function segments(run: number[]): number[] {
  const out: number[] = [];
  for (let at = 0; at + 5 < run.length; at += 3) out.push(...run.slice(at, at + 6));
  return out;
}

const cross = (at: Three, arm: number): number[] =>
  [0, 1, 2].flatMap((way) => {
    const ends = [-arm, arm].map((off) => at.map((value, own) => (own === way ? value + off : value)));
    return ends.flat();
  });

/** How long the arm of a marked place's cross is, mm. */
const CROSS_MM = 5;
/** A bolt's line is drawn so far to either side of its mount, mm. */
const BOLT_MM = 22;

export function foldingShown(folding: Folding): Shown {
  const bodies = folding.pieces.map((piece) => ({
    points: piece.points_mm,
    triangles: piece.triangles,
    edges: piece.edges,
  }));
  const bolts = folding.mounts.flatMap((mount) =>
    [-BOLT_MM, BOLT_MM].flatMap((off) => mount.at_mm.map((value, way) => value + off * (mount.axis[way] ?? 0))),
  );
  const support = folding.support ? cross(folding.support.at_mm, CROSS_MM) : [];
  return {
    bodies,
    lines: [
      { segments: [...bolts, ...support], dashed: false },
      { segments: folding.keep_outs.flatMap((keepOut) => keepOut.lines_mm.flatMap(segments)), dashed: true },
    ],
    labels: [
      ...folding.mounts.map((mount) => ({ at: mount.at_mm, words: `mount ${mount.name}` })),
      ...(folding.support ? [{ at: folding.support.at_mm, words: "support" }] : []),
      ...folding.keep_outs.map((keepOut) => ({
        at: (keepOut.lines_mm[0]?.slice(0, 3) ?? keepOut.nearest_mm) as Three,
        words: `keep out: ${keepOut.name}`,
      })),
    ],
    low: folding.low_mm,
    high: folding.high_mm,
  };
}

/** Where the pieces are at a moment, between the frames that were given. */
export function momentOf(folding: Folding, folded: number): Moment {
  const { from, to, share } = framesAt(folded, folding.steps.length, folding.frames.length);
  const [one, other] = [folding.frames[from], folding.frames[to]];
  if (!one || !other) return { places: [], points: [] };
  const between = (a: number, b: number) => a + (b - a) * share;
  return {
    places: one.panels.map((place, panel) => {
      const next = other.panels[panel] ?? place;
      // A turn and its opposite number are one turn: the nearer way round is taken.
      const same = [0, 1, 2, 3].reduce((sum, part) => sum + (place[part] ?? 0) * (next[part] ?? 0), 0) < 0 ? -1 : 1;
      return place.map((value, part) => between(value, (part < 4 ? same : 1) * (next[part] ?? 0)));
    }),
    points: one.bends.map((points, bend) => {
      const next = other.bends[bend] ?? points;
      return Float32Array.from(points, (value, part) => between(value, next[part] ?? value));
    }),
  };
}

export function heldShown(held: Held, moved: boolean): Shown {
  const places = held.points_mm;
  const [low, high]: [Three, Three] = [
    [Infinity, Infinity, Infinity],
    [-Infinity, -Infinity, -Infinity],
  ];
  places.forEach((value, index) => {
    const way = (index % 3) as 0 | 1 | 2;
    low[way] = Math.min(low[way], value);
    high[way] = Math.max(high[way], value);
  });
  const shape = places.map((value, index) => value + held.times * (held.moves_mm[index] ?? 0));
  const outline = held.edges.flatMap((point) => shape.slice(3 * point, 3 * point + 3));
  const size = Math.hypot(high[0] - low[0], high[1] - low[1], high[2] - low[2]);
  return {
    bodies: [
      {
        points: places,
        triangles: held.triangles,
        edges: held.edges,
        bands: { colours: held.bands.map((band) => band.colour), shares: held.shares },
      },
    ],
    lines: [
      { segments: held.pushes.flatMap((push) => arrow(push.at_mm, push.toward, 0.22 * size)), dashed: false },
      { segments: [...(held.worst ? [held.worst] : []), ...held.bolts].flatMap((spot) => cross(spot.at_mm, CROSS_MM)), dashed: false },
      { segments: moved ? outline : [], dashed: true },
    ],
    labels: [
      ...(held.worst ? [{ at: held.worst.at_mm, words: held.worst.label }] : []),
      ...held.pushes.map((push) => ({ at: push.at_mm, words: push.label })),
      ...held.bolts.map((bolt) => ({ at: bolt.at_mm, words: bolt.label })),
    ],
    low,
    high,
  };
}

/** A push that ends at its place: its line, and four strokes of its head. */
function arrow(at: Three, toward: Three, long: number): number[] {
  const along = (by: number): Three => [0, 1, 2].map((way) => (at[way] ?? 0) + by * (toward[way] ?? 0)) as Three;
  const least = [0, 1, 2].reduce((best, way) => (Math.abs(toward[way] ?? 0) < Math.abs(toward[best] ?? 0) ? way : best), 0);
  const aside: Three = [0, 0, 0];
  aside[least as 0 | 1 | 2] = 1;
  const side = crossed(toward, aside);
  const back = along(-0.2 * long);
  const heads = [side, crossed(toward, side)].flatMap((way) =>
    [-1, 1].map((sign) => back.map((value, part) => value + sign * 0.08 * long * (way[part] ?? 0))),
  );
  return [...along(-long), ...at, ...heads.flatMap((head) => [...head, ...at])];
}

function crossed(a: Three, b: Three): Three {
  const out: Three = [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]];
  const long = Math.hypot(...out) || 1;
  return out.map((value) => value / long) as Three;
}
