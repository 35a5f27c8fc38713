/** What the server tells of the folded part and of the part under its loads. */

export type Three = [number, number, number];

export interface FoldStep {
  number: number;
  bends: string[];
  says: string;
}

export interface Piece {
  name: string;
  of: "panel" | "bend";
  points_mm: number[];
  triangles: number[];
  edges: number[];
}

export interface Frame {
  step: number;
  share: number;
  /** How each panel is turned (x, y, z, w) and where its origin is. */
  panels: [number, number, number, number, number, number, number][];
  bends: number[][];
}

export interface MountMet {
  name: string;
  hole: string;
  at_mm: Three;
  axis: Three;
  off: [string, string];
  gap: [string, string];
  tilt: [string, string];
  meets: boolean;
  says: string;
}

export interface SupportMet {
  at_mm: Three;
  off: [string, string];
  turn: [string, string];
  meets: boolean;
  says: string;
}

export interface KeepOutMet {
  name: string;
  clear: [string, string];
  meets: boolean;
  says: string;
  nearest_mm: Three;
  lines_mm: number[][];
}

export interface Folding {
  steps: FoldStep[];
  order: string;
  axes: string;
  pieces: Piece[];
  frames: Frame[];
  low_mm: Three;
  high_mm: Three;
  mounts: MountMet[];
  support?: SupportMet;
  keep_outs: KeepOutMet[];
  solved: { name: string; found: string; ask: string }[];
  sizes: string[];
}

export interface Pointed {
  at_mm: Three;
  label: string;
  says: string;
}

export interface Held {
  load: string;
  level_is: string;
  points_mm: number[];
  triangles: number[];
  shares: number[];
  edges: number[];
  bands: { colour: string; from: string; to: string }[];
  moves_mm: number[];
  times: number;
  moves_say: string;
  allowed?: string;
  worst?: Pointed;
  bolts: Pointed[];
  pushes: { at_mm: Three; toward: Three; label: string }[];
  panels: [string, string][];
  tightest: string[];
  heavy: string[];
  hangs_mm: Three;
}

export interface LoadKind {
  kind: string;
  says: string;
  size_key: "force" | "mass" | "moment";
  way_key: "toward" | "about";
  /** In mm and N, then in inches and pounds. */
  usual: [string, string];
  per_day: string;
}

export interface HelpRow {
  change: string;
  passes: boolean;
  /** On design.toml; absent where the files have no words for it. */
  acts?: import("../types").Act[];
}

export interface Helps {
  load: string;
  changes: HelpRow[];
  not_possible?: { change: string; why: string; fix: string }[];
}
