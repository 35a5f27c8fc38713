/** What the changes since the last revision did, and keeping this state as the next one. */

import { useId } from "preact/hooks";
import type { Desk } from "./desk";
import { Fold } from "./fold";
import { Press } from "./press";
import { TextInput } from "./text_input";
import { isSummary, type Job } from "./types";
import { useTyping } from "./typing";
import "./since.css";

export function SinceKept({ desk, job }: { desk: Desk; job: Job }) {
  const { next, revision, since } = job.kept;
  // What was proposed before is no longer next; a name that was typed stays.
  const { text: name, changed, type, putBack, sent } = useTyping(next);
  const id = useId();
  const called = name.trim();
  const keep = () => {
    if (desk.busy || called === "") return;
    sent(desk.send((base) => desk.server.post<Job>("/api/revision", { name: called, base }), `Kept as revision ${called}`));
  };
  const key = (event: KeyboardEvent) => {
    if (event.key === "Escape" && changed) {
      event.stopPropagation();
      putBack();
    }
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
        <Fold class="more" says="Fit, cut, bend, hold and mass, as they were and as they are">
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
        </Fold>
      )}
      {revision === null && <p>Keep this state, and every change after it is held against it.</p>}
      {isSummary(job.answers) && (
        <div class="field">
          <TextInput label="Name of the revision" value={name} type={type} press={key} says="">
            <Press plain onPress={keep} waits={desk.busy || called === ""}>
              Keep this as revision {called}
            </Press>
          </TextInput>
        </div>
      )}
    </section>
  );
}
