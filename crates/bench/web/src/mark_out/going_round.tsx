/** The outside edge, by tapping its points in order: each tap adds one, Done writes it. */

import { useEffect, useRef, useState } from "preact/hooks";
import type { Desk } from "../desk";
import { FormBox, type Guard } from "../forms/form_box";
import { namesOf, outlineOf } from "../forms/names";
import { POINT } from "../forms/keys";
import { endsOf } from "../forms/slots";
import { Press } from "../press";
import { at, rowsOf } from "../typed";
import type { Act, Job, Typed } from "../types";

/** The least that closes round something. */
const LEAST_N = 3;

/** What is done to corners and edges that the new outline does not have any more goes with them. */
export function actsOfRound(design: Typed | undefined, round: string[]): { acts: Act[]; gone: string[] } {
  const acts: Act[] = [{ act: "set", at: ["outline", "through"], to: round }];
  const gone: string[] = [];
  for (const [name] of rowsOf(at(design, ["outline", "corners"]))) {
    if (!round.includes(name)) {
      acts.push({ act: "remove", at: ["outline", "corners", name] });
      gone.push(`corner ${name}`);
    }
  }
  for (const [line] of rowsOf(at(design, ["outline", "arcs"]))) {
    const [a, b] = endsOf(line);
    const [from, to] = [round.indexOf(a), round.indexOf(b)];
    const apart = Math.abs(from - to);
    const edge = from >= 0 && to >= 0 && (apart === 1 || apart === round.length - 1);
    if (!edge) {
      acts.push({ act: "remove", at: ["outline", "arcs", line] });
      gone.push(`arc ${line}`);
    }
  }
  return { acts, gone };
}

/** The points after one more tap, and what to say of it. */
export function tapped(round: string[], name: string): { round: string[]; says: string } {
  if (round[0] === name && round.length >= LEAST_N) return { round, says: `${name} closes it. Press Done to write it.` };
  if (round.includes(name)) return { round, says: `${name} is in it already. An outside edge goes to each point once.` };
  return { round: [...round, name], says: `${name} is number ${round.length + 1}.` };
}

export interface GoingRoundProps {
  desk: Desk;
  job: Job;
  round: string[];
  says: string;
  set: (round: string[], says: string) => void;
  tap: (name: string) => void;
  close: () => void;
  guard: Guard;
}

export function GoingRound({ desk, job, round, says, set, tap, close, guard }: GoingRoundProps) {
  const heading = useRef<HTMLHeadingElement>(null);
  const [open, setOpen] = useState(false);
  useEffect(() => heading.current?.focus(), []);
  const there = outlineOf(job);
  const design = job.files.design?.values;
  const done = async () => {
    if (round.length < LEAST_N) {
      set(round, `It takes ${LEAST_N} points at least; there are ${round.length}.`);
      return;
    }
    const { acts, gone } = actsOfRound(design, round);
    const words = `outline through ${round.join(", ")}${gone.length > 0 ? `; without ${gone.join(", ")}` : ""}`;
    if (await desk.act("design", acts, words)) close();
    else set(round, "It was not written: see above what stands against it.");
  };
  const last = round[round.length - 1];
  const said = round.join(" ");
  return (
    <FormBox
      title="Go round by tapping"
      said={said === "" || said === there.join(" ") ? null : said}
      close={close}
      guard={guard}
      heading={heading}
    >
      {(leave) => (
        <>
          <p>Tap the points of the outside edge in order, either way round. The first one need not be tapped again.</p>
          <p class="going">{round.length > 0 ? round.join(" to ") : "No point yet."}</p>
          <p role="status">{says}</p>
          <div class="acts">
            <Press onPress={() => void done()} waits={desk.busy}>
              Done
            </Press>
            <Press plain onPress={() => set(round.slice(0, -1), `${last ?? ""} is taken back.`)} waits={last === undefined}>
              Take back the last{last === undefined ? "" : `: ${last}`}
            </Press>
            {there.length > 0 && (
              <Press plain onPress={() => set(there, "This is the outside edge as it stands; taps go on from its last point.")}>
                Go on from {there[there.length - 1]}
              </Press>
            )}
            <Press plain onPress={() => setOpen(!open)} expanded={open}>
              Choose points here
            </Press>
            <Press plain onPress={leave}>
              Leave it
            </Press>
          </div>
          {open && (
            <div class="chips" role="group" aria-label="Points">
              {namesOf(job, POINT).map((name) => (
                <Press key={name} plain onPress={() => tap(name)} pressed={round.includes(name)} says={`Point ${name}`}>
                  {name}
                </Press>
              ))}
            </div>
          )}
        </>
      )}
    </FormBox>
  );
}
