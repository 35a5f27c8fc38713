/** A section of the sheet: what it asks of the files, its picture, what was worked out. */

import type { ComponentChildren } from "preact";
import { Verdict } from "./answers";
import type { Desk } from "./desk";
import { FindingsOf } from "./findings";
import { Picture } from "./picture";
import { isSummary, type Job, type PictureName, type Question, type Said, type Summary } from "./types";
import { type FromFile, Values } from "./values";

export interface SectionDef {
  id: string;
  title: string;
  lead: string;
  values: FromFile[];
  /** Keys that its body has fields of its own for. */
  own?: FromFile[];
  picture?: { name: PictureName; called: string };
  /** The question whose answer stands at its head. */
  question?: Question;
  rows?: (summary: Summary, said: Said) => ComponentChildren;
  /** What a section has beside these, under its lead. */
  body?: (props: { desk: Desk; job: Job }) => ComponentChildren;
}

/** A key of a file, and what it is called on the page. */
export const from = (file: FromFile["file"], key: string, called: string): FromFile => ({ file, key, called });

export function Section({ number, section, desk, job }: { number: number; section: SectionDef; desk: Desk; job: Job }) {
  const summary = isSummary(job.answers) ? job.answers : null;
  const title = `${section.id}-title`;
  return (
    <section id={section.id} aria-labelledby={title} tabIndex={-1}>
      <h2 id={title}>
        {number}. {section.title}
      </h2>
      {section.question && <Verdict answers={job.answers} question={section.question} />}
      {section.question && <FindingsOf answers={job.answers} question={section.question} />}
      <p>{section.lead}</p>
      {section.body && <section.body desk={desk} job={job} />}
      {section.values.map((from) => (
        <Values key={`${from.file}-${from.key}`} desk={desk} job={job} from={from} />
      ))}
      {summary && job.said && section.rows?.(summary, job.said)}
      {section.picture && <Picture server={desk.server} stamp={job.stamp} {...section.picture} />}
    </section>
  );
}
