/** What the changes since the last revision did, and keeping this state as the next one. */

import { useEffect, useId, useState } from "preact/hooks";
import { type Desk, useOnce } from "./desk";
import { isSummary, type Job } from "./types";
import "./since.css";

export function SinceKept({ desk, job }: { desk: Desk; job: Job }) {
  const { next, revision, since } = job.kept;
  const [name, setName] = useState(next);
  // What was proposed before is no longer next.
  useEffect(() => setName(next), [next]);
  const id = useId();
  const called = name.trim();
  const keep = useOnce(() => {
    if (desk.busy || called === "") return;
    void desk.send((base) => desk.server.post<Job>("/api/revision", { name: called, base }), `Kept as revision ${called}`);
  });
  const key = (event: KeyboardEvent) => {
    if (event.key === "Escape") setName(next);
    if (event.key === "Enter" && called !== "") {
      event.preventDefault();
      keep();
    }
  };
  return (
    <section class="since" aria-labelledby={`${id}-title`}>
      <h2 id={`${id}-title`}>{revision === null ? "No revision is kept yet" : `Since revision ${revision}`}</h2>
      {since && <p>{since.says}</p>}
      {since && (
        <details>
          <summary>Fit, cut, bend, hold and mass, as they were and as they are</summary>
          <ul class="since-rows">
            {since.rows.map((row) => (
              <li key={row.what}>
                <p>
                  <strong>{row.says}</strong>
                </p>
                {!row.same && (
                  <p>
                    Was: {row.was} Is: {row.is}
                  </p>
                )}
              </li>
            ))}
          </ul>
        </details>
      )}
      {revision === null && <p>Keep this state, and every change after it is held against it.</p>}
      {isSummary(job.answers) && (
        <div class="field">
          <label for={id}>Name of the revision</label>
          <div class="typed">
            <input
              id={id}
              type="text"
              autocomplete="off"
              spellcheck={false}
              value={name}
              onInput={(event) => setName(event.currentTarget.value)}
              onKeyDown={key}
            />
            <button type="button" class="plain" onClick={keep} aria-disabled={desk.busy || called === ""}>
              Keep this as revision {called}
            </button>
          </div>
        </div>
      )}
    </section>
  );
}
