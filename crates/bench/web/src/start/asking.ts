/** What the server asks before there is a job. */

import type { Echo, Server } from "../server";

export interface QuestionAsked {
  key: string;
  asks: string;
  /** What is taken when nothing is typed; empty where something must be. */
  usual: string;
  /** The words to choose from; none where it is typed. */
  choices: string[];
}

export interface Answered {
  key: string;
  asks: string;
  answer: string;
  understood: string | null;
}

export interface Demo {
  name: string;
  title: string;
  about: string | null;
}

export interface Started {
  open: boolean;
  /** A name for the folder is to be typed. */
  named: boolean;
  /** Where it is written. */
  says: string;
  demos: Demo[];
  care: QuestionAsked[];
}

export type Beginning = "nothing" | "shared-design";

export type Answers = Record<string, string>;

/** The questions so far, and what comes next. */
export interface Asking {
  answered: Answered[];
  next?: QuestionAsked;
  not_understood?: string;
  refused?: { why: string; ask: string };
  done?: true;
}

export interface Looked {
  title: string;
  about: string | null;
  stock: string;
}

export const started = (server: Server): Promise<Started> => server.get("/api/start");

export const asking = (server: Server, from: Beginning, answers: Answers, design?: string): Promise<Asking> =>
  server.post("/api/start/questions", { from, answers, ...(design === undefined ? {} : { design }) });

export const understood = (server: Server, answers: Answers, key: string, text: string, signal: AbortSignal): Promise<Echo> =>
  server.post("/api/start/understood", { answers, key, text }, signal);

export const looked = (server: Server, design: string): Promise<Looked> => server.post("/api/start/check", { design });

export const start = (server: Server, way: "nothing" | "demo" | "shared", what: object): Promise<{ written: string[] }> =>
  server.post(`/api/start/${way}`, what);

/** What is asked for another fit of the job: one like the fit that is open, or an empty one. */
export const fitAsking = (server: Server, answers: Answers, like: boolean): Promise<Asking> =>
  server.post("/api/fit/questions", { answers, like });
