/** What of the design has a name of its own, and the table that it stands in. */

import type { FileName, Named, Way } from "../types";

export const TABLE_OF: Record<Named, string> = {
  point: "points",
  hole: "holes",
  slot: "slots",
  window: "windows",
  bend: "bends",
  panel: "panels",
};

const KINDS = Object.keys(TABLE_OF) as Named[];

/** What the rows of a table are, where they can be called otherwise. */
export function namedIn(file: FileName, way: Way): Named | undefined {
  if (file !== "design" || way.length !== 1) return undefined;
  return KINDS.find((kind) => TABLE_OF[kind] === way[0]);
}
