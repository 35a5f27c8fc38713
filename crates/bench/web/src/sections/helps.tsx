/** What would help, ranked: asked for by a press, as it takes seconds; each can be tried before it is kept. */

import { useEffect, useRef, useState } from "preact/hooks";
import { type Desk, troubleOf } from "../desk";
import { difference } from "../difference";
import { Press } from "../press";
import type { HelpRow, Helps as Found } from "../solid/told";
import type { Job } from "../types";

/** What comes after these is hardly read. */
const TOLD = 10;

function Help({ desk, job, row, said, number }: { desk: Desk; job: Job; row: HelpRow; said: string[]; number: number }) {
  const [tried, setTried] = useState("");
  const stop = useRef<AbortController | null>(null);
  useEffect(() => () => stop.current?.abort(), []);
  const acts = row.acts;
  const attempt = () => {
    if (!acts) return;
    stop.current?.abort();
    const own = new AbortController();
    stop.current = own;
    setTried("It is being tried. Nothing is written.");
    desk.server
      .tried("design", acts, job.stamp, own.signal)
      .then(({ answers }) => setTried(`Tried, and not written: ${difference(job, { answers, said: null })}`))
      .catch((error: unknown) => {
        if (!own.signal.aborted) setTried(`It cannot be tried: ${troubleOf(error).says}`);
      });
  };
  return (
    <li class={row.passes ? "passes" : ""}>
      <h4>
        {number}. {said[0]}
      </h4>
      {said.slice(1).map((words) => (
        <p key={words}>{words}</p>
      ))}
      {acts ? (
        <div class="buttons">
          <Press plain onPress={attempt} says={`Try it: ${row.change}`}>
            Try it
          </Press>
          <Press onPress={() => void desk.act("design", acts, row.change)} waits={desk.busy} says={`Keep it: ${row.change}`}>
            Keep it
          </Press>
        </div>
      ) : (
        <p>This one is drawn by hand: no single act on the design makes it.</p>
      )}
      <p role="status" class="echo">
        {tried}
      </p>
    </li>
  );
}

export function Helps({ desk, job }: { desk: Desk; job: Job }) {
  const [found, setFound] = useState<{ stamp: string; helps: Found | null; said: string[][] } | null>(null);
  const [told, setTold] = useState("");
  const [working, setWorking] = useState(false);
  const stop = useRef<AbortController | null>(null);
  const end = (says: string) => {
    stop.current?.abort();
    stop.current = null;
    setWorking(false);
    setTold(says);
  };
  // What was asked of older texts is no longer wanted.
  useEffect(
    () => () => {
      if (stop.current) end("The job changed, so what would help is no longer worked out.");
    },
    [job.stamp],
  );
  const ask = () => {
    if (working) {
      end("Stopped.");
      return;
    }
    const own = new AbortController();
    stop.current = own;
    const stamp = job.stamp;
    setWorking(true);
    setTold("Working: changes are made to the card and solved one by one. It takes some seconds to a minute.");
    desk.server
      .helps(own.signal)
      .then(({ helps, said }) => {
        if (own.signal.aborted) return;
        stop.current = null;
        setWorking(false);
        setFound({ stamp, helps, said });
        const count = helps?.changes.length ?? 0;
        setTold(helps ? `${count} changes were solved; the best stand first.` : "Nothing can be asked as the job stands: the loads are not solved.");
      })
      .catch((error: unknown) => {
        if (!own.signal.aborted) end(`It cannot be worked out: ${troubleOf(error).says}`);
      });
  };
  const here = found?.stamp === job.stamp ? found : null;
  return (
    <>
      <h3>What would help</h3>
      <div
        class="buttons"
        onKeyDown={(event) => {
          if (event.key === "Escape" && working) end("Stopped.");
        }}
      >
        <Press plain onPress={ask}>
          {working ? "Stop working it out" : "Work out what would help"}
        </Press>
      </div>
      <p role="status" class="echo">
        {told}
      </p>
      {here?.helps && (
        <>
          <p>Gains are told for "{here.helps.load}". First what passes, the lightest first; then by what is gained for each gram.</p>
          <ol class="helps">
            {here.helps.changes.slice(0, TOLD).map((row, index) => (
              <Help key={`${here.stamp} ${index}`} desk={desk} job={job} row={row} said={here.said[index] ?? [row.change]} number={index + 1} />
            ))}
          </ol>
          {(here.helps.not_possible ?? []).map((row) => (
            <p key={row.change}>
              Not possible: {row.change}: {row.why}. Do: {row.fix}.
            </p>
          ))}
        </>
      )}
    </>
  );
}
