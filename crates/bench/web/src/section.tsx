/** A section of the sheet: what it asks of the files, its picture, what was worked out. */

import type { ComponentChildren, RefObject } from "preact";
import { Verdict } from "./answers";
import { Before } from "./before";
import { Deferred } from "./deferred";
import type { Desk } from "./desk";
import { FindingsOf } from "./findings";
import { Picture } from "./picture";
import { useInSight } from "./turns";
import { isSummary, isWorking, type Job, type PictureName, pictureStamp, type Question, type Said, type Summary } from "./types";
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

interface SectionProps {
  number: number;
  section: SectionDef;
  desk: Desk;
  job: Job;
}

export function Section(props: SectionProps) {
  const { ref, inSight } = useInSight<HTMLElement>();
  const isWorkedIn = ref.current?.contains(document.activeElement) ?? false;
  return <Deferred atOnce={inSight || isWorkedIn} draw={() => <Drawn {...props} of={ref} />} />;
}

function Drawn({ number, section, desk, job, of }: SectionProps & { of: RefObject<HTMLElement | null> }) {
  const summary = isSummary(job.answers) ? job.answers : null;
  const title = `${section.id}-title`;
  const working = isWorking(job, section.question);
  return (
    <section id={section.id} aria-labelledby={title} tabIndex={-1} ref={of} data-stamp={job.stamp}>
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
        <Picture server={desk.server} stamp={pictureStamp(job, section.picture.name)} waits={working} {...section.picture} />
      )}
    </section>
  );
}
