/** What can be marked out by a form and taps. */

import type { Way } from "../types";

export interface Marking {
  id: string;
  way: Way;
  /** On its button. */
  says: string;
}

export const MARKINGS: Marking[] = [
  { id: "points", way: ["points"], says: "Add a point" },
  { id: "corners", way: ["outline", "corners"], says: "Work a corner" },
  { id: "arcs", way: ["outline", "arcs"], says: "Bow an edge" },
  { id: "bends", way: ["bends"], says: "Add a crease" },
  { id: "holes", way: ["holes"], says: "Add a hole" },
  { id: "slots", way: ["slots"], says: "Add a slot" },
  { id: "windows", way: ["windows"], says: "Add a window" },
  { id: "panels", way: ["panels"], says: "Name a panel" },
  { id: "marks", way: ["marks"], says: "Scribe a mark" },
  { id: "seams", way: ["seams"], says: "Add a seam" },
];
