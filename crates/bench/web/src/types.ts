/** What the server says: the contract of `gusset check --json`, as far as the page shows it, and the files as typed. */

/** A value of a file, as it was typed; a table keeps its order. */
export type Typed = string | number | boolean | null | Typed[] | { table: [string, Typed][] };

export type FileName = "design" | "fit" | "shop";

export interface TypedFile {
  path: string;
  text: string;
  values: Typed;
}

export type Answer = "yes" | "care" | "no" | "not checked";

export const QUESTIONS = ["fit", "cut", "bend", "hold"] as const;
export type Question = (typeof QUESTIONS)[number];

export interface Verdict {
  answer: Answer;
  margin?: number | null;
  decides?: string | null;
  says: string;
}

export interface Finding {
  code: string;
  level: "stop" | "care" | "note";
  about: string;
  file?: string | null;
  line?: number | null;
  says: string;
  fix?: string | string[] | null;
}

export interface ReadingRow {
  about: string;
  read: string;
  residual_mm?: number | null;
  redundancy: number;
  suspect: boolean;
}

export interface MountRow {
  name: string;
  offset_mm: number;
  allowed_mm: number;
}

export interface CheckRow {
  code: string;
  load: string;
  used: number;
  says: string;
}

export interface CutRow {
  number: number;
  name: string;
  length_mm: number;
}

export interface BendRow {
  number: number;
  bend: string;
  tool: string;
  bent_deg: number;
  between_legs_deg: number;
  face_up: string;
  gauge_to_middle_mm: number;
}

export interface Summary {
  job: { title: string; revision?: string | null; stock?: string | null; hand: string };
  care?: { asks: string; answer: string }[];
  verdicts: Record<Question, Verdict>;
  findings: Finding[];
  survey?: { readings: ReadingRow[] };
  folded?: { mass_kg: number };
  fit?: { mounts: MountRow[] };
  prove?: { checks: CheckRow[] };
  cut?: { order: CutRow[] };
  bend?: { order: BendRow[] };
}

export interface WrongRow {
  file?: string | null;
  line?: number | null;
  column?: number | null;
  says: string;
  expected?: string | null;
  fix?: string | string[] | null;
}

/** Either all answers, or what keeps the job from being worked out. */
export type Answers = Summary | { wrong: WrongRow[] } | { refused: { why: string; ask: string } };

export interface Job {
  stamp: string;
  fit: string | null;
  fits: string[];
  undo: string | null;
  redo: string | null;
  files: Record<FileName, TypedFile | null>;
  answers: Answers;
}

/** A place in a file: keys, and numbers of rows from 0. */
export type Way = (string | number)[];

export type Act =
  | { act: "set"; at: Way; to: unknown }
  | { act: "add"; at: Way; to: unknown }
  | { act: "remove"; at: Way };

export const PICTURES = ["blank", "folded", "stress", "cut-sheet", "bend-cards"] as const;
export type PictureName = (typeof PICTURES)[number];

export function isSummary(answers: Answers): answers is Summary {
  return "verdicts" in answers;
}
