/** Marking out: the picture, what is done by tapping it, and the form of what is being marked out. */

import { useCallback, useMemo, useRef, useState } from "preact/hooks";
import type { Desk } from "../desk";
import { AddForm } from "../forms/add_form";
import { keptEditor, type Tapping } from "../forms/editor";
import { takesAt } from "../forms/keys";
import { useKeys } from "../forms/known";
import { Press } from "../press";
import type { Job, Typed } from "../types";
import { Board } from "./board";
import { GoingRound, tapped } from "./going_round";
import { type Marking, MARKINGS } from "./markings";
import { PointCard } from "./point_card";
import "./mark_out.css";

type Doing =
  | { is: "nothing" }
  | { is: "point"; name: string }
  | { is: "round"; round: string[]; says: string }
  | { is: "form"; marking: Marking; begun?: Typed; name?: string; serial: number };

interface Taker {
  owner: object;
  tap: (name: string) => void;
  says: string | null;
}

export function MarkingOut({ desk, job }: { desk: Desk; job: Job }) {
  const keys = useKeys(desk.server);
  const [doing, setDoing] = useState<Doing>({ is: "nothing" });
  const [taker, setTaker] = useState<Taker | null>(null);
  const [last, setLast] = useState<string | null>(null);
  const serial = useRef(0);
  const acts = useRef<HTMLDivElement>(null);
  const opener = useRef<string | null>(null);
  const take = useCallback((owner: object, tap: (name: string) => void, says: string | null) => setTaker({ owner, tap, says }), []);
  const leave = useCallback((owner: object) => setTaker((taker) => (taker?.owner === owner ? null : taker)), []);
  const tapping: Tapping = useMemo(() => ({ take, leave }), [take, leave]);
  if (!job.files.design) return null;

  const begin = (marking: Marking, begun?: Typed, name?: string) => {
    serial.current += 1;
    opener.current = marking.id;
    setDoing({ is: "form", marking, begun, name, serial: serial.current });
  };
  const close = () => {
    setDoing({ is: "nothing" });
    const back = acts.current?.querySelector<HTMLButtonElement>(`#mark-${opener.current ?? "points"}`);
    (back ?? acts.current?.querySelector("button"))?.focus();
  };
  const goRound = (name: string) => {
    if (doing.is === "round") setDoing({ is: "round", ...tapped(doing.round, name) });
  };
  const tap = (name: string) => {
    setLast(name);
    if (doing.is === "round") goRound(name);
    else if (taker?.says) taker.tap(name);
    else if (doing.is !== "form") setDoing({ is: "point", name });
  };
  const takes = doing.is === "form" && keys ? takesAt(keys.design, doing.marking.way) : undefined;
  const chosen = doing.is === "round" ? doing.round : doing.is === "point" ? [doing.name] : [];
  const says = () => {
    if (doing.is === "round") return doing.says || "A tap on a point adds it to the outside edge.";
    if (taker?.says) return `${last && doing.is === "form" ? `${last} was tapped. ` : ""}The next tap fills: ${taker.says}.`;
    if (doing.is === "form") return "All points of the form are said.";
    if (doing.is === "point") return `Point ${doing.name} is chosen. What can be done at it stands under the picture.`;
    return "Tap a point to choose it; or begin with one of the buttons.";
  };
  return (
    <div class="marking-out">
      <div class="acts" role="group" aria-label="What to mark out" ref={acts}>
        {MARKINGS.map((marking) => (
          <Press key={marking.id} id={`mark-${marking.id}`} plain onPress={() => begin(marking)} waits={!keys} expanded={doing.is === "form" && doing.marking.id === marking.id}>
            {marking.says}
          </Press>
        ))}
        <Press
          id="mark-round"
          plain
          onPress={() => {
            opener.current = "round";
            setDoing({ is: "round", round: [], says: "" });
          }}
          expanded={doing.is === "round"}
        >
          Go round by tapping
        </Press>
      </div>
      <p class="tap-says" role="status">
        {says()}
      </p>
      <Board server={desk.server} stamp={job.stamp} called="The mark-out" tap={tap} chosen={chosen} guide={doing.is === "round" ? doing.round : []} />
      {doing.is === "form" && keys && takes?.is === "named" && (
        <AddForm
          key={doing.serial}
          editor={{ ...keptEditor(desk, job, "design"), tapping }}
          way={doing.marking.way}
          takes={takes.of}
          how="name"
          byLine={takes.key === "line"}
          begun={doing.begun}
          beginName={doing.name}
          title={doing.marking.says}
          close={close}
        />
      )}
      {doing.is === "round" && (
        <GoingRound desk={desk} job={job} round={doing.round} says={doing.says} tap={goRound} close={close} set={(round, says) => setDoing({ is: "round", round, says })} />
      )}
      {doing.is === "point" && keys && (
        <PointCard key={doing.name} desk={desk} job={job} keys={keys} name={doing.name} tapping={tapping} begin={begin} close={close} markings={MARKINGS} />
      )}
    </div>
  );
}
