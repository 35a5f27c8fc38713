/** What the server says: the contract of `gusset check --json`, as far as the page shows it, and the files as typed. */

/** A value of a file, as it was typed; a table keeps its order. */
export type Typed = string | number | boolean | null | Typed[] | { table: [string, Typed][] };

export const FILES = ["design", "fit", "shop"] as const;
export type FileName = (typeof FILES)[number];

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
  /** The question it bears on; none where it is none of the four. */
  question?: Question | null;
  about: string;
  file?: string | null;
  line?: number | null;
  says: string;
  fix?: string | string[] | null;
}

export interface ReadingRow {
  about: string;
  read: string;
  redundancy: number;
  suspect: boolean;
}

export interface MountRow {
  name: string;
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
}

export interface BendRow {
  number: number;
  bend: string;
  tool: string;
  face_up: string;
}

export interface Summary {
  job: { title: string; revision?: string | null; stock?: string | null; hand: string };
  care?: { asks: string; answer: string }[];
  verdicts: Record<Question, Verdict>;
  findings: Finding[];
  survey?: { readings: ReadingRow[] };
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

/** Numbers of the summary as the program prints them, in both systems: row by row as there. */
export interface Said {
  mass: string | null;
  readings: string[];
  mounts: { offset: string; allowed: string }[];
  cuts: string[];
  bends: { bent: string; between_legs: string; gauge_to_middle: string }[];
}

/** The last revision that was kept, and what the changes since did. */
export interface Kept {
  /** What the next would be called. */
  next: string;
  revision: string | null;
  since: { revision: string; says: string; rows: SinceRow[] } | null;
}

export interface SinceRow {
  what: string;
  called: string;
  was: string;
  is: string;
  says: string;
  same: boolean;
}

export interface Job {
  stamp: string;
  fit: string | null;
  fits: string[];
  undo: string | null;
  redo: string | null;
  files: Record<FileName, TypedFile | null>;
  answers: Answers;
  kept: Kept;
  said: Said | null;
  /** What is still being worked out: its answer is that of before. */
  working?: Question[];
  /** How many proofs have come: another number, and one has come since. */
  worked?: number;
}

/** A place in a file: keys, and numbers of rows from 0. */
export type Way = (string | number)[];

/** A kind of thing of the design that has a name of its own. */
export type Named = "point" | "hole" | "slot" | "window" | "bend" | "panel";

export type Act =
  | { act: "set"; at: Way; to: unknown }
  | { act: "add"; at: Way; to: unknown }
  | { act: "remove"; at: Way }
  /** Calls something of the design otherwise, wherever the design and the fits name it. */
  | { act: "rename"; what: Named; from: string; to: string }
  /** Puts a row elsewhere in its list; `to` is its number then. */
  | { act: "move"; at: Way; to: number };

export const PICTURES = ["mark-out", "blank", "folded", "stress", "cut-sheet", "bend-cards"] as const;
export type PictureName = (typeof PICTURES)[number];

/** Drawings that are other ones once the proof has come: starts of cuts keep off the places that the loads stress most. */
export const ON_PROOF: readonly PictureName[] = ["stress", "cut-sheet"];

/** What a drawing belongs to: it is another one when this is. */
export function pictureStamp(job: Pick<Job, "stamp" | "worked">, name: PictureName): string {
  return ON_PROOF.includes(name) ? `${job.stamp} ${job.worked ?? 0}` : job.stamp;
}

/** Whether the answer to a question is one of before, and a new one is under way. */
export function isWorking(job: Pick<Job, "working">, question: Question | undefined): boolean {
  return question !== undefined && (job.working ?? []).includes(question);
}

export function isSummary(answers: Answers): answers is Summary {
  return "verdicts" in answers;
}
