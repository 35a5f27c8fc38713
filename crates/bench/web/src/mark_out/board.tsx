/** The mark-out with a button over every point: tapped, or come to by the keyboard. Nothing on it is dragged. */

import { useEffect, useId, useLayoutEffect, useMemo, useRef, useState } from "preact/hooks";
import { useAsked } from "../asked";
import { Press } from "../press";
import type { Server } from "../server";
import { targetPx } from "../settings";
import { useInSight } from "../turns";
import { drawingOf } from "./drawing";
import { isInside, MOST_ZOOM, panned, roomy, seen, type Target, targetsOf, type View, whole, zoomed } from "./targets";

/** A picture is not shown lower than this: there is room for targets above each other. */
const LEAST_TALL_PX = 260;

export interface BoardProps {
  server: Server;
  /** What the drawing belongs to: asked for anew when it is another. */
  stamp: string;
  called: string;
  /** What a tap on a point does, for its button: "A, chosen". */
  tap: (name: string) => void;
  /** What is chosen, and in which order, where there is one. */
  chosen: string[];
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

function Spot({ target, chosen, act }: { target: Target; chosen: string[]; act: () => void }) {
  const [name, ...more] = target.names;
  if (name === undefined) return null;
  const order = chosen.indexOf(name);
  const style = { left: `${target.left}px`, top: `${target.top}px`, width: `${target.width}px`, height: `${target.height}px` };
  const several = more.length > 0;
  const here = target.names.filter((name) => chosen.includes(name));
  const names = target.names.length > 4 ? `${target.names.length} points` : target.names.join(", ");
  return (
    <li style={style} class={several ? "spot several" : "spot"} data-points={target.names.join(" ")}>
      <Press onPress={act} plain pressed={several ? undefined : order >= 0}>
        <span class="spot-name">
          <span class="spoken">{several ? "Points near each other: " : "Point "}</span>
          {names}
          {!several && order >= 0 && chosen.length > 1 && <small> ({order + 1})</small>}
          {several && here.length > 0 && <small> ({here.join(", ")} chosen)</small>}
          {several && <span class="spoken">: {target.names.join(", ")}; choose which</span>}
        </span>
      </Press>
    </li>
  );
}

export function Board(props: BoardProps) {
  const { server, stamp, called } = props;
  const { ref, inSight } = useInSight<HTMLDivElement>();
  const asked = useAsked(stamp, () => server.picture("mark-out", stamp), { inSight });
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

function Drawn({ svg, called, tap, chosen, guide = [], reading = null, still = false }: BoardProps & { svg: string | undefined }) {
  const id = useId();
  const drawing = useMemo(() => (svg === undefined ? null : drawingOf(svg, id)), [svg, id]);
  const [view, setView] = useState<View | null>(null);
  const [near, setNear] = useState<string[]>([]);
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
    const strong = [...chosen.map((name) => `[data-point="${name}"]`), reading === null ? "" : `[data-reading="${reading}"]`];
    for (const selector of strong.filter(Boolean)) {
      for (const group of drawing?.root.querySelectorAll(selector) ?? []) group.classList.add("strong");
    }
  });
  useEffect(() => {
    if (near.length > 0) nearBox.current?.querySelector("button")?.focus();
  }, [near]);

  if (!drawing || !all || !now || !part) return <p class="no-picture">{called}: there is nothing to draw as the job stands.</p>;

  const { places } = drawing;
  const height = (width * all.height) / all.width;
  const size_px = targetPx();
  const targets = still ? [] : targetsOf(places, part, { width, height }, size_px);
  const hidden = places.filter((place) => !isInside(part, place)).length;
  const at = (name: string) => places.find((place) => place.name === name);
  const line = guide.flatMap((name) => {
    const place = at(name);
    return place ? [`${place.x},${place.y}`] : [];
  });
  const press = (target: Target) => () => {
    const [name, ...more] = target.names;
    if (more.length > 0) setNear(target.names);
    else if (name !== undefined) {
      setNear([]);
      tap(name);
    }
  };
  const nearer = () => {
    const found = near.flatMap((name) => at(name) ?? []);
    const x = found.reduce((sum, place) => sum + place.x, 0) / found.length;
    const y = found.reduce((sum, place) => sum + place.y, 0) / found.length;
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
      <div class={still ? "board-view looked-at" : "board-view"} tabIndex={-1} ref={ref}>
        <div class="board-drawing" ref={holder} />
        {line.length > 0 && (
          <svg class="guide" viewBox={`${part.x} ${part.y} ${part.width} ${part.height}`} aria-hidden="true" focusable="false">
            <polyline points={line.join(" ")} />
          </svg>
        )}
        <ul class="spots" aria-label="Points in the picture">
          {targets.map((target) => (
            <Spot key={target.names.join(" ")} target={target} chosen={chosen} act={press(target)} />
          ))}
        </ul>
      </div>
      {near.length > 0 && (
        <div
          class="near"
          role="group"
          aria-label="Which of these points"
          ref={nearBox}
          onKeyDown={(event) => {
            if (event.key !== "Escape") return;
            event.stopPropagation();
            leaveNear();
          }}
        >
          <p>These lie near each other. Which one?</p>
          <div class="chips">
            {near.map((name) => (
              <Press
                key={name}
                plain
                onPress={() => {
                  tap(name);
                  leaveNear();
                }}
                says={`Point ${name}`}
              >
                {name}
              </Press>
            ))}
            {now.zoom < MOST_ZOOM && (
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
          {now.zoom} times nearer{hidden > 0 ? `; ${hidden} of ${places.length} points are out of sight` : ""}.
        </p>
      )}
    </div>
  );
}
