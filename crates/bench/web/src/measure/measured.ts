/** What is to be measured, in the order that helps most, as the server tells it. */

import type { FileName, Way } from "../types";

/** What may have been meant, and why. */
export interface Meant {
  text: string;
  why: string;
}

export interface MeasureItem {
  index: number | null;
  file: FileName;
  way: Way;
  label: string;
  about: string;
  typed: string | null;
  with: string | null;
  kind: "measure" | "point" | "reading" | "place";
  understood: string | null;
  /** What all else says of it, in both systems. */
  expected: string | null;
  band: string | null;
  low_mm: number | null;
  high_mm: number | null;
  off: string | null;
  suspect: boolean;
  did_you_mean: Meant[];
  ask: string | null;
  points: string[];
  /** Nothing else checks it: a slip in it would not show. */
  unchecked?: boolean;
  /** The program finds it, and nobody need say it. */
  found?: boolean;
}

/** A reading that is not there yet, and what it would help. */
export interface NextReading {
  between: string[];
  why: string;
  expected: string | null;
  band: string | null;
}

export interface Measured {
  items: MeasureItem[];
  next: NextReading[];
  /** Why nothing is foretold, where the readings cannot be taken together. */
  told?: string | null;
}

/** Something typed for a reading: at its place in a file, or between two points where it is not in the file yet. */
export type SlipOf = { file: FileName; way: Way } | { file: FileName; between: string[] };

export interface Slip {
  outside: boolean;
  says: string | null;
  did_you_mean: Meant[];
}
