/** The mark-out with a button over everything that can be chosen: tapped, or come to by the keyboard. Nothing on it is dragged. */

import { useEffect, useId, useLayoutEffect, useMemo, useRef, useState } from "preact/hooks";
import { usePicture } from "../pictured";
import { Press } from "../press";
import type { Server } from "../server";
import { targetPx } from "../settings";
import { drawingOf } from "./drawing";
import { isInside, MOST_ZOOM, type Place, panned, roomy, seen, type Target, type Thing, targetsOf, thingKey, type View, whole, zoomed } from "./targets";
import { kindInWords, thingInWords } from "./things";

/** A picture is not shown lower than this: there is room for targets above each other. */
const LEAST_TALL_PX = 260;

export interface BoardProps {
  server: Server;
  /** What the drawing belongs to: asked for anew when it is another. */
  stamp: string;
  called: string;
  tap: (thing: Thing) => void;
  /** Holes that are points by their own names. */
  centres: string[];
  /** Openings and creases can be chosen too, and not points alone. */
  all?: boolean;
  /** What is chosen, and in which order, where there is one. */
  chosen: Thing[];
  /** A line through points that is not in the file yet. */
  guide?: string[];
  /** Drawn heavier. */
  reading?: number | null;
  /** A tap does nothing here; the picture is only looked at. */
  still?: boolean;
}

/** How wide something is shown, px; known with the first layout, which is not forced for it. */
function useWidth(isShown: boolean) {
  const ref = useRef<HTMLDivElement>(null);
  const [width, setWidth] = useState(0);
  useLayoutEffect(() => {
    const shown = ref.current;
    if (!shown) return;
    const observer = new ResizeObserver(() => setWidth(shown.clientWidth));
    observer.observe(shown);
    return () => observer.disconnect();
  }, [isShown]);
  return { ref, width };
}

/** What is tapped where points are meant: they, and the centres of holes that are points too. */
export function asPoints(places: Place[], centres: string[]): Place[] {
  return places.flatMap((place): Place[] => {
    if (place.is === "point") return [place];
    return place.is === "hole" && centres.includes(place.name) ? [{ ...place, is: "point" }] : [];
  });
}

/** Names of so many letters stand on a button for several; longer ones are counted. */
const MOST_LETTERS = 10;

function Spot({ target, chosen, isOnePlace, act }: { target: Target; chosen: Thing[]; isOnePlace: boolean; act: () => void }) {
  const [thing, ...more] = target.things;
  if (thing === undefined) return null;
  const keys = chosen.map(thingKey);
  const order = keys.indexOf(thingKey(thing));
  const style = {
    left: `${target.left}px`,
    top: `${target.top}px`,
    width: `${target.width}px`,
    height: `${target.height}px`,
    "--mark-x": `${target.mark.x}px`,
    "--mark-y": `${target.mark.y}px`,
  };
  const several = more.length > 0;
  const here = target.things.filter((thing) => keys.includes(thingKey(thing))).map(({ name }) => name);
  const { things } = target;
  const joined = things.map(({ name }) => name).join(", ");
  const names = several && !isOnePlace && joined.length > MOST_LETTERS ? `${things.length} here` : joined;
  return (
    <li style={style} class={isOnePlace ? `spot of-${thing.is}` : "spot several"} data-things={things.map(thingKey).join(" ")}>
      <Press onPress={act} plain pressed={several ? undefined : order >= 0}>
        <span class="spot-name">
          <span class="spoken">{several ? "Near each other: " : `${kindInWords(thing)} `}</span>
          {names}
          {!several && order >= 0 && chosen.length > 1 && <small> ({order + 1})</small>}
          {several && here.length > 0 && <small> ({here.join(", ")} chosen)</small>}
          {several && <span class="spoken">: {things.map(thingInWords).join(", ")}; choose which</span>}
        </span>
      </Press>
    </li>
  );
}

export function Board(props: BoardProps) {
  const { server, stamp, called } = props;
  const { ref, asked } = usePicture(server, "mark-out", stamp);
  const isOlder = asked?.given !== undefined && asked.stamp !== stamp;
  return (
    <div class={isOlder ? "before" : undefined} ref={ref}>
      {!asked && <p class="no-picture">{called} is being drawn.</p>}
      {asked?.failed !== undefined && (
        <p class="no-picture" role="status">
          {called} cannot be shown: {asked.failed}
        </p>
      )}
      {isOlder && <p class="working">Working. This is {called.toLowerCase()} of before the last change.</p>}
      {asked?.given && <Drawn {...props} svg={asked.given[0]} />}
    </div>
  );
}

function Drawn({ svg, called, tap, centres, all: isAllChosen = false, chosen, guide = [], reading = null, still = false }: BoardProps & { svg: string | undefined }) {
  const id = useId();
  const drawing = useMemo(() => (svg === undefined ? null : drawingOf(svg, id)), [svg, id]);
  const [view, setView] = useState<View | null>(null);
  const [nearby, setNear] = useState<Thing[]>([]);
  const holder = useRef<HTMLDivElement>(null);
  const nearBox = useRef<HTMLDivElement>(null);
  const { ref, width } = useWidth(drawing !== null);
  const all = drawing && roomy(drawing.all, width, LEAST_TALL_PX);
  const now = all && (view ?? whole(all));
  const part = all && now && seen(all, now);

  useLayoutEffect(() => {
    if (drawing && holder.current) holder.current.replaceChildren(drawing.root);
  }, [drawing]);
  useLayoutEffect(() => {
    if (drawing && part) drawing.root.setAttribute("viewBox", `${part.x} ${part.y} ${part.width} ${part.height}`);
  });
  useLayoutEffect(() => {
    for (const group of drawing?.root.querySelectorAll(".strong") ?? []) group.classList.remove("strong");
    const strong = [...chosen.map(({ is, name }) => `[data-${is}="${name}"]`), reading === null ? "" : `[data-reading="${reading}"]`];
    for (const selector of strong.filter(Boolean)) {
      for (const group of drawing?.root.querySelectorAll(selector) ?? []) group.classList.add("strong");
    }
  });
  useEffect(() => {
    if (nearby.length > 0) nearBox.current?.querySelector("button")?.focus();
  }, [nearby]);

  if (!drawing || !all || !now || !part) return <p class="no-picture">{called}: there is nothing to draw as the job stands.</p>;

  const points = asPoints(drawing.places, centres);
  const places = isAllChosen ? drawing.places : points;
  // What lay near each other may be gone, or not be meant any more.
  const placesNow = (things: Thing[]) => things.flatMap((thing) => places.find((place) => thingKey(place) === thingKey(thing)) ?? []);
  const near = placesNow(nearby);
  // A hole and its point are at one place: that is seen as a place, and not as an area.
  const areAtOne = ([first, ...others]: Place[]) => others.every(({ x, y }) => x === first?.x && y === first.y);
  const isOnePlace = (target: Target) => areAtOne(placesNow(target.things));
  const height = (width * all.height) / all.width;
  const targets = still ? [] : targetsOf(places, part, { width, height }, targetPx());
  const hidden = places.filter((place) => !isInside(part, place)).length;
  const line = guide.flatMap((name) => {
    const place = points.find((place) => place.name === name);
    return place ? [`${place.x},${place.y}`] : [];
  });
  const press = (target: Target) => () => {
    const [thing, ...more] = target.things;
    if (more.length > 0) setNear(target.things);
    else if (thing !== undefined) {
      setNear([]);
      tap(thing);
    }
  };
  const nearer = () => {
    const x = near.reduce((sum, place) => sum + place.x, 0) / near.length;
    const y = near.reduce((sum, place) => sum + place.y, 0) / near.length;
    setView(zoomed(all, now, 2, { x, y }));
    setNear([]);
    ref.current?.focus();
  };
  const leaveNear = () => {
    setNear([]);
    ref.current?.focus();
  };
  const pan = (right: number, down: number) => () => setView(panned(all, now, right, down));
  const isAll = now.zoom === 1;
  return (
    <div class="board" role="group" aria-label={called}>
      <div class={`board-view${still ? " looked-at" : ""}${isAllChosen ? " all-chosen" : ""}`} tabIndex={-1} ref={ref}>
        <div class="board-drawing" ref={holder} />
        {line.length > 0 && (
          <svg class="guide" viewBox={`${part.x} ${part.y} ${part.width} ${part.height}`} aria-hidden="true" focusable="false">
            <polyline points={line.join(" ")} />
          </svg>
        )}
        <ul class="spots" aria-label={isAllChosen ? "Points, openings and creases in the picture" : "Points in the picture"}>
          {targets.map((target) => (
            <Spot key={target.things.map(thingKey).join(" ")} target={target} chosen={chosen} isOnePlace={isOnePlace(target)} act={press(target)} />
          ))}
        </ul>
      </div>
      {near.length > 0 && (
        <div
          class="near"
          role="group"
          aria-label="Which of these"
          ref={nearBox}
          onKeyDown={(event) => {
            if (event.key !== "Escape") return;
            event.stopPropagation();
            leaveNear();
          }}
        >
          <p>These lie near each other. Which one?</p>
          <div class="chips">
            {near.map(({ is, name }) => (
              <Press
                key={thingKey({ is, name })}
                plain
                onPress={() => {
                  tap({ is, name });
                  leaveNear();
                }}
              >
                {kindInWords({ is })} {name}
              </Press>
            ))}
            {now.zoom < MOST_ZOOM && !areAtOne(near) && (
              <Press plain onPress={nearer}>
                Go nearer
              </Press>
            )}
            <Press plain onPress={leaveNear}>
              None
            </Press>
          </div>
        </div>
      )}
      <div class="acts" role="group" aria-label="What of the picture is seen">
        <Press plain onPress={() => setView(zoomed(all, now, 2))} waits={now.zoom >= MOST_ZOOM}>
          Nearer
        </Press>
        <Press plain onPress={() => setView(zoomed(all, now, 0.5))} waits={isAll}>
          Farther
        </Press>
        {!isAll && (
          <>
            <Press plain onPress={pan(-1, 0)}>Left</Press>
            <Press plain onPress={pan(1, 0)}>Right</Press>
            <Press plain onPress={pan(0, -1)}>Up</Press>
            <Press plain onPress={pan(0, 1)}>Down</Press>
          </>
        )}
      </div>
      {!isAll && (
        <p class="hint" role="status">
          {now.zoom} times nearer{hidden > 0 ? `; ${hidden} of ${places.length} ${isAllChosen ? "places" : "points"} are out of sight` : ""}.
        </p>
      )}
    </div>
  );
}
