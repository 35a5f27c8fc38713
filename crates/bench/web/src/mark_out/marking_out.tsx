/** Marking out: the picture, what is done by tapping it, and the form of what is being marked out. */

import { useCallback, useMemo, useRef, useState } from "preact/hooks";
import type { Desk } from "../desk";
import { AddForm } from "../forms/add_form";
import { keptEditor, type Tapping } from "../forms/editor";
import type { Guard } from "../forms/form_box";
import { takesAt } from "../forms/keys";
import { useKeys } from "../forms/known";
import { centres } from "../forms/names";
import { nameNow, type Renamed } from "../forms/row_ids";
import { Press } from "../press";
import type { Job, Typed } from "../types";
import { Board } from "./board";
import { GoingRound, tapped } from "./going_round";
import { type Marking, MARKINGS } from "./markings";
import { PointCard } from "./point_card";
import { type Thing, thingKey } from "./targets";
import { ThingCard, type ThingCardProps } from "./thing_card";
import { kindInWords, namesOfKind } from "./things";
import "./mark_out.css";

type Doing =
  | { is: "nothing" }
  | { is: "thing"; thing: Thing; serial: number }
  | { is: "round"; round: string[]; says: string }
  | { is: "form"; marking: Marking; begun?: Typed; name?: string; serial: number };

interface Taker {
  owner: object;
  tap: (name: string) => void;
  says: string | null;
}

function Card({ thing, ...card }: ThingCardProps) {
  return thing.is === "point" ? <PointCard {...card} name={thing.name} /> : <ThingCard {...card} thing={thing} />;
}

export function MarkingOut({ desk, job }: { desk: Desk; job: Job }) {
  const keys = useKeys(desk.server);
  const [doing, setDoing] = useState<Doing>({ is: "nothing" });
  const [taker, setTaker] = useState<Taker | null>(null);
  const [last, setLast] = useState<string | null>(null);
  const serial = useRef(0);
  const root = useRef<HTMLDivElement>(null);
  const opener = useRef<string | null>(null);
  /** What is open says what stands against leaving it. */
  const guard: Guard = useRef(null);
  const [against, setAgainst] = useState("");
  const take = useCallback((owner: object, tap: (name: string) => void, says: string | null) => {
    setAgainst("");
    setTaker({ owner, tap, says });
  }, []);
  const leave = useCallback((owner: object) => setTaker((taker) => (taker?.owner === owner ? null : taker)), []);
  const tapping: Tapping = useMemo(() => ({ take, leave }), [take, leave]);
  const renamed = useRef<Renamed | null>(null);
  if (!job.files.design) return null;
  const design = job.files.design.values;

  /** What is chosen, as it is called now. */
  const thing = doing.is === "thing" ? { ...doing.thing, name: nameNow(namesOfKind(design, doing.thing.is), doing.thing.name, renamed.current) } : null;
  /** Puts something else in the place of what is open, if that can be left. */
  const instead = (then: () => void) => {
    const says = guard.current?.() ?? "";
    setAgainst(says);
    if (says === "") then();
  };
  const begin = (marking: Marking, begun?: Typed, name?: string) => {
    serial.current += 1;
    opener.current = marking.id;
    setDoing({ is: "form", marking, begun, name, serial: serial.current });
  };
  const close = () => {
    setAgainst("");
    setDoing({ is: "nothing" });
    const find = (what: string) => root.current?.querySelector<HTMLButtonElement>(what);
    const back = thing ? find(`[data-things~="${thingKey(thing)}"] button`) : find(`#mark-${opener.current ?? "points"}`);
    (back ?? find("button"))?.focus();
  };
  const press = (isOpen: boolean, open: () => void) => () => instead(isOpen ? close : open);
  const goRound = (name: string) => {
    if (doing.is === "round") setDoing({ is: "round", ...tapped(doing.round, name) });
  };
  const tap = (tapped: Thing) => {
    setLast(tapped.name);
    if (doing.is === "round") goRound(tapped.name);
    else if (taker?.says) taker.tap(tapped.name);
    else if (doing.is !== "form" && !(thing && thingKey(thing) === thingKey(tapped))) {
      instead(() => {
        serial.current += 1;
        setDoing({ is: "thing", thing: tapped, serial: serial.current });
      });
    }
  };
  const follow = (from: string, to: string) => {
    renamed.current = { from, to };
  };
  // A form that is open takes points.
  const all = (doing.is === "nothing" || doing.is === "thing") && !taker?.says;
  const takes = doing.is === "form" && keys ? takesAt(keys.design, doing.marking.way) : undefined;
  const chosen: Thing[] = doing.is === "round" ? doing.round.map((name) => ({ is: "point", name })) : thing ? [thing] : [];
  const card = {
    desk,
    job,
    tapping,
    begin: (marking: Marking, begun: Typed | undefined, name?: string) => instead(() => begin(marking, begun, name)),
    follow,
    close,
    guard,
    markings: MARKINGS,
  };
  const says = () => {
    if (against) return against;
    if (doing.is === "round") return doing.says || "A tap on a point adds it to the outside edge.";
    if (taker?.says) return `${last && doing.is === "form" ? `${last} was tapped. ` : ""}The next tap fills: ${taker.says}.`;
    if (doing.is === "form") return "All points of the form are said.";
    if (thing) return `${kindInWords(thing)} ${thing.name} is chosen. What can be done with it stands under the picture.`;
    return "Tap a point, an opening or a crease to choose it; or begin with one of the buttons.";
  };
  return (
    <div class="marking-out" ref={root}>
      <div class="acts" role="group" aria-label="What to mark out">
        {MARKINGS.map((marking) => {
          const isOpen = doing.is === "form" && doing.marking.id === marking.id;
          return (
            <Press key={marking.id} id={`mark-${marking.id}`} plain onPress={press(isOpen, () => begin(marking))} waits={!keys} expanded={isOpen}>
              {marking.says}
            </Press>
          );
        })}
        <Press
          id="mark-round"
          plain
          onPress={press(doing.is === "round", () => {
            opener.current = "round";
            setDoing({ is: "round", round: [], says: "" });
          })}
          expanded={doing.is === "round"}
        >
          Go round by tapping
        </Press>
      </div>
      <p class="tap-says" role="status">
        {says()}
      </p>
      <Board server={desk.server} stamp={job.stamp} called="The mark-out" tap={tap} centres={centres(job)} all={all} chosen={chosen} guide={doing.is === "round" ? doing.round : []} />
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
          title={`${doing.marking.says} in the picture`}
          close={close}
          guard={guard}
        />
      )}
      {doing.is === "round" && (
        <GoingRound desk={desk} job={job} round={doing.round} says={doing.says} tap={goRound} close={close} guard={guard} set={(round, says) => setDoing({ is: "round", round, says })} />
      )}
      {doing.is === "thing" && thing && keys && <Card key={doing.serial} {...card} keys={keys} thing={thing} />}
    </div>
  );
}
