/** The sections of the sheet, in the order of the work, and what none of them is about. */

import type { Desk } from "./desk";
import { ask } from "./sections/ask";
import { bend } from "./sections/bend";
import { cut } from "./sections/cut";
import { fold } from "./sections/fold";
import { hold } from "./sections/hold";
import { make } from "./sections/make";
import { markOut } from "./sections/mark_out";
import { measure } from "./sections/measure";
import type { SectionDef } from "./section";
import { inWords, rowsOf } from "./typed";
import { FILES, type Job } from "./types";
import { type FromFile, Values } from "./values";

export const SECTIONS: SectionDef[] = [ask, measure, markOut, fold, hold, cut, bend, make];

/** Keys of the files that no section names, as they stand there: each value has a field somewhere. */
export function restOf(job: Job): FromFile[] {
  const named = new Set(SECTIONS.flatMap((section) => [...section.values, ...(section.own ?? [])].map((from) => `${from.file} ${from.key}`)));
  return FILES.flatMap((file) =>
    rowsOf(job.files[file]?.values ?? null)
      .map(([key]) => key)
      .filter((key) => !named.has(`${file} ${key}`))
      .map((key) => ({ file, key, called: `${inWords(key)} (${file})` })),
  );
}

export function Rest({ number, desk, job }: { number: number; desk: Desk; job: Job }) {
  const rest = restOf(job);
  if (rest.length === 0) return null;
  return (
    <section id="rest" aria-labelledby="rest-title" tabIndex={-1}>
      <h2 id="rest-title">{number}. All else that the files say</h2>
      <p>How the files are written, and what no section above is about.</p>
      {rest.map((from) => (
        <Values key={`${from.file}-${from.key}`} desk={desk} job={job} from={from} />
      ))}
    </section>
  );
}
