/** A section of the sheet: what it asks of the files, its picture, what was worked out. */

import type { ComponentChildren } from "preact";
import { Verdict } from "./answers";
import { Before } from "./before";
import type { Desk } from "./desk";
import { FindingsOf } from "./findings";
import { Picture } from "./picture";
import { isSummary, isWorking, type Job, type PictureName, type Question, type Said, type Summary } from "./types";
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

/** Drawings that are other ones once the proof has come: starts of cuts keep off the places that the loads stress most. */
const ON_PROOF: PictureName[] = ["stress", "cut-sheet"];

/** What a drawing belongs to. */
function stampOf(job: Job, name: PictureName): string {
  return ON_PROOF.includes(name) ? `${job.stamp} ${job.worked ?? 0}` : job.stamp;
}

export function Section({ number, section, desk, job }: { number: number; section: SectionDef; desk: Desk; job: Job }) {
  const summary = isSummary(job.answers) ? job.answers : null;
  const title = `${section.id}-title`;
  const working = isWorking(job, section.question);
  return (
    <section id={section.id} aria-labelledby={title} tabIndex={-1}>
      <h2 id={title}>
        {number}. {section.title}
      </h2>
      {section.question && <Verdict job={job} question={section.question} />}
      {section.question && <FindingsOf answers={job.answers} question={section.question} />}
      <p>{section.lead}</p>
      {section.body && <section.body desk={desk} job={job} />}
      {section.values.map((from) => (
        <Values key={`${from.file}-${from.key}`} desk={desk} job={job} from={from} />
      ))}
      {summary && job.said && section.rows && (
        <Before working={working}>{section.rows(summary, job.said)}</Before>
      )}
      {section.picture && (
        <Picture server={desk.server} stamp={stampOf(job, section.picture.name)} waits={working} {...section.picture} />
      )}
    </section>
  );
}
