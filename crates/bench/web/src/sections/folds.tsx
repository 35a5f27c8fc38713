/** The folds one by one, and how each hole meets its mount. */

import { useEffect, useMemo, useState } from "preact/hooks";
import { useAsked } from "../asked";
import { Before } from "../before";
import type { Desk } from "../desk";
import { Press } from "../press";
import { Rows } from "../rows";
import { lessMovement } from "../settings";
import { VIEW_WORDS, type ViewName } from "../solid/eye";
import { OneView } from "../solid/one_view";
import { usePlay } from "../solid/play";
import { foldingShown, momentOf } from "../solid/shown";
import { SolidView } from "../solid/solid_view";
import { foldedInWords, foldNext, stepAt, unfold } from "../solid/steps";
import type { Folding } from "../solid/told";
import { Views } from "../solid/views";
import { useInSight } from "../turns";
import type { Job } from "../types";
import "../solid/solid.css";

const yesOrNo = (meets: boolean) => (meets ? "yes" : "no");

export function Met({ folding }: { folding: Folding }) {
  const { mounts, support, keep_outs: keepOuts, solved } = folding;
  return (
    <>
      {mounts.length > 0 && (
        <>
          <h3>Each hole against its mount</h3>
          <ul>
            {mounts.map((mount) => (
              <li key={mount.name}>{mount.says}</li>
            ))}
          </ul>
          <Rows
            heads={["mount", "hole", "beside it by", "allowed", "off its seat by", "gap allowed", "tilted by", "tilt allowed", "goes in"]}
            rows={mounts.map((mount) => [mount.name, mount.hole, ...mount.off, ...mount.gap, ...mount.tilt, yesOrNo(mount.meets)])}
          />
        </>
      )}
      {mounts.length === 0 && <p>No mounts are said, so the part stands in its own axes and nothing is compared.</p>}
      {(support || keepOuts.length > 0) && (
        <>
          <h3>The support, and what must stay clear</h3>
          <Rows
            heads={["what", "is", "may be, or must be", "met"]}
            rows={[
              ...(support
                ? [
                    ["support, beside its place by", support.off[0], `at most ${support.off[1]}`, yesOrNo(support.meets)],
                    ["support, turned by", support.turn[0], `at most ${support.turn[1]}`, yesOrNo(support.meets)],
                  ]
                : []),
              ...keepOuts.map((keepOut) => [
                `keep-out ${keepOut.name}, clear by`,
                keepOut.clear[0],
                `at least ${keepOut.clear[1]}`,
                yesOrNo(keepOut.meets),
              ]),
            ]}
          />
        </>
      )}
      {solved.length > 0 && (
        <>
          <h3>Found so that it fits</h3>
          <Rows heads={["measure", "found", "what it asks"]} rows={solved.map((row) => [row.name, row.found, row.ask])} />
        </>
      )}
    </>
  );
}

interface DrawingProps {
  desk: Desk;
  stamp: string;
  folded: number;
  view: ViewName;
  still: boolean;
  inSight: boolean;
}

/** The drawing of one moment from one side; nothing is asked for while the 3-D view moves. */
function Drawing({ desk, stamp, folded, view, still, inSight }: DrawingProps) {
  const { step, share } = stepAt(folded);
  const of = `${stamp} ${step} ${share} ${view}`;
  const asked = useAsked(of, (signal) => desk.server.foldingPicture(step, share, view, signal), { waits: !still, inSight });
  if (asked?.failed) return <p>The drawing cannot be shown: {asked.failed}</p>;
  const svg = asked?.given?.[0];
  return svg ? <OneView svg={svg} called={`The part, ${VIEW_WORDS[view].toLowerCase()}`} /> : null;
}

function Folds({ desk, stamp, folding, inSight }: { desk: Desk; stamp: string; folding: Folding; inSight: boolean }) {
  const steps = folding.steps.length;
  const [folded, setFolded] = useState(steps);
  const [view, setView] = useState<{ name: ViewName; chosen: number }>({ name: "corner", chosen: 0 });
  const [solid, setSolid] = useState(false);
  const [told, setTold] = useState("");
  const now = Math.min(folded, steps);
  const play = usePlay(now, steps, solid, setFolded);
  const shown = useMemo(() => foldingShown(folding), [folding]);
  const moment = useMemo(() => momentOf(folding, now), [folding, now]);
  const go = (to: number) => {
    play.stop();
    setFolded(to);
    setTold(foldedInWords(to, steps));
  };
  useEffect(() => {
    if (!play.playing && told) setTold(foldedInWords(now, steps));
  }, [play.playing]);
  const { step, share } = stepAt(now);
  const choose = (name: ViewName) => {
    setView((before) => ({ name, chosen: before.chosen + 1 }));
    setTold(VIEW_WORDS[name]);
  };
  return (
    <div
      class="folding"
      onKeyDown={(event) => {
        if (event.key === "Escape" && play.playing) {
          play.stop();
          event.stopPropagation();
        }
      }}
    >
      {steps > 0 && (
        <>
          <h3>Fold by fold, {folding.order}</h3>
          <ol class="folds">
            {folding.steps.map((row) => (
              <li key={row.number} aria-current={row.number === step ? "step" : undefined}>
                {row.says}
                {row.number < step || (row.number === step && share >= 1) ? " - made" : row.number === step ? " - under way" : ""}
              </li>
            ))}
          </ol>
          <div class="buttons" role="group" aria-label="Fold and unfold">
            <Press plain onPress={() => go(0)} waits={now <= 0}>
              Flat
            </Press>
            <Press plain onPress={() => go(unfold(now))} waits={now <= 0}>
              Unfold one
            </Press>
            <Press plain onPress={() => go(foldNext(now, steps))} waits={now >= steps}>
              Fold next
            </Press>
            <Press plain onPress={() => go(steps)} waits={now >= steps}>
              All folded
            </Press>
            <Press
              plain
              onPress={() => {
                if (play.playing) play.stop();
                else {
                  play.start();
                  setTold(lessMovement() ? "Fold by fold, as movement is to be less. Stop and Esc end it." : "It folds slowly. Stop and Esc end it.");
                }
              }}
            >
              {play.playing ? "Stop" : "Fold slowly"}
            </Press>
          </div>
          <p role="status" class="echo">
            {told || foldedInWords(now, steps)}
          </p>
        </>
      )}
      <Views called="The part" chosen={view.name} choose={choose} />
      <SolidView called="The part in 3-D" shown={shown} moment={moment} view={view} onOpen={setSolid} />
      <Drawing desk={desk} stamp={stamp} folded={now} view={view.name} still={!(solid && play.playing)} inSight={inSight} />
      {folding.sizes.length === 3 && (
        <p>
          Folded it measures {folding.sizes[0]} along x, {folding.sizes[1]} along y, {folding.sizes[2]} along z, in the {folding.axes} axes.
        </p>
      )}
      <Met folding={folding} />
    </div>
  );
}

export function FoldBody({ desk, job }: { desk: Desk; job: Job }) {
  const { ref, inSight } = useInSight<HTMLDivElement>();
  const asked = useAsked(job.stamp, (signal) => desk.server.folding(signal), { inSight });
  const folding = asked?.given?.folding;
  return (
    <div ref={ref}>
      {!asked && <p class="no-picture">The folds are being worked out.</p>}
      {asked?.failed && <p class="no-picture">The folds cannot be shown: {asked.failed}</p>}
      {asked?.given && !folding && <p class="no-picture">There is nothing to fold as the job stands.</p>}
      {asked && folding && (
        <Before working={asked.stamp !== job.stamp}>
          <Folds desk={desk} stamp={asked.stamp} folding={folding} inSight={inSight} />
        </Before>
      )}
    </div>
  );
}
