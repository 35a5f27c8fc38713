/** The head of the page on paper: what it is, the five answers, what the program says of the four questions. */

import { Verdict } from "./answers";
import { at } from "./typed";
import { isSummary, type Job, QUESTIONS } from "./types";
import "./page_one.css";

export function PageOne({ job }: { job: Job }) {
  if (!isSummary(job.answers)) return null;
  const { job: of, care } = job.answers;
  const said = (key: string) => at(job.files.fit?.values, ["care", key]);
  const [purpose, onto] = [said("purpose"), said("onto")];
  return (
    <div class="page-one" aria-hidden="true">
      <h2>
        {of.title}
        {of.revision ? `, revision ${of.revision}` : ""}
      </h2>
      {typeof purpose === "string" && purpose !== "" && <p>For: {purpose}</p>}
      {typeof onto === "string" && onto !== "" && <p>Fastened to: {onto}</p>}
      {job.said?.mass && <p>Mass: {job.said.mass}</p>}
      <ol>
        {(care ?? []).map((row) => (
          <li key={row.asks}>
            {row.asks} <strong>{row.answer}</strong>
          </li>
        ))}
      </ol>
      {QUESTIONS.map((question) => (
        <Verdict key={question} job={job} question={question} />
      ))}
      <p>
        For the loads listed; a fall, a jam or another person can be more. Prove the part on the bench before a body depends on it. Your
        machine's book and local codes come before this sheet.
      </p>
    </div>
  );
}
