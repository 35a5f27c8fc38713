/** The part under its loads: what breaks first, how heavy it is, stress and movement as a body, and what would help. */

import { useMemo, useState } from "preact/hooks";
import { useAsked } from "../asked";
import { Before } from "../before";
import type { Desk } from "../desk";
import { Press } from "../press";
import { Rows } from "../rows";
import type { ViewName } from "../solid/eye";
import { heldShown } from "../solid/shown";
import { SolidView } from "../solid/solid_view";
import type { Held } from "../solid/told";
import { Views } from "../solid/views";
import { useInSight } from "../turns";
import type { Job } from "../types";
import { AddLoad } from "./add_load";
import { Helps } from "./helps";
import "../solid/solid.css";

function Bands({ held }: { held: Held }) {
  return (
    <>
      <p>{held.level_is}, in bands; darker is more.</p>
      <ol class="bands">
        {held.bands.map((band) => (
          <li key={band.from}>
            <svg viewBox="0 0 32 24" aria-hidden="true" focusable="false">
              <rect x="1" y="1" width="30" height="22" fill={band.colour} stroke="currentColor" />
            </svg>
            <span>
              {band.from} to {band.to}
            </span>
          </li>
        ))}
      </ol>
      {held.allowed && <p>Allowed: {held.allowed}.</p>}
    </>
  );
}

function Stressed({ held, older }: { held: Held; older: boolean }) {
  const [view, setView] = useState<{ name: ViewName; chosen: number }>({ name: "corner", chosen: 0 });
  const [moved, setMoved] = useState(true);
  const shown = useMemo(() => heldShown(held, moved), [held, moved]);
  return (
    <Before working={older}>
      <h3>What breaks first</h3>
      <ol>
        {held.tightest.map((says) => (
          <li key={says}>{says}</li>
        ))}
      </ol>
      <h3>How heavy it is, and where it hangs</h3>
      {held.heavy.map((says) => (
        <p key={says}>{says}</p>
      ))}
      <h3>Stress and movement</h3>
      <p>{held.load}</p>
      <p>{held.moves_say}</p>
      <Bands held={held} />
      <Views called="Stress" chosen={view.name} choose={(name) => setView((before) => ({ name, chosen: before.chosen + 1 }))} />
      <div class="buttons">
        <Press plain={!moved} class={moved ? "chosen" : undefined} pressed={moved} onPress={() => setMoved(!moved)}>
          {moved ? "✓ " : ""}Draw the moved shape, dashed
        </Press>
      </div>
      <SolidView called="Stress and movement in 3-D" shown={shown} view={view} />
      <Rows
        heads={["where", "what", "more"]}
        rows={[
          ...(held.worst ? [["the highest", held.worst.label, held.worst.says]] : []),
          ...held.pushes.map((push) => ["load", push.label, `toward x ${push.toward[0]}, y ${push.toward[1]}, z ${push.toward[2]}`]),
          ...held.bolts.map((bolt) => ["bolt", bolt.label, bolt.says]),
          ...held.panels.map(([name, level]) => ["highest in", name, level]),
        ]}
      />
    </Before>
  );
}

export function HeldBody({ desk, job }: { desk: Desk; job: Job }) {
  const { ref, inSight } = useInSight<HTMLDivElement>();
  const asked = useAsked(job.stamp, (signal) => desk.server.held(signal), { inSight });
  const held = asked?.given?.held;
  return (
    <div ref={ref}>
      {!asked && <p class="no-picture">Stress and movement are being worked out.</p>}
      {asked?.failed && <p class="no-picture">Stress and movement cannot be shown: {asked.failed}</p>}
      {asked?.given && !held && <p class="no-picture">There is no stress to show as the job stands: it wants mounts and loads.</p>}
      {held && <Stressed held={held} older={asked?.stamp !== job.stamp} />}
      <AddLoad desk={desk} job={job} />
      <Helps desk={desk} job={job} />
    </div>
  );
}
