/** A body that is turned by buttons: opened when it is asked for, and left with Esc. The drawing beside it says the same. */

import { useCallback, useEffect, useId, useRef, useState } from "preact/hooks";
import { Press } from "../press";
import { type Eye, eyeInWords, eyeOf, nearer, TURN, type Turn, turned, turnedBy, type ViewName } from "./eye";
import type { Moment, Shown } from "./shown";
import type { Stage } from "./stage";

/** A pointer that is moved across the picture turns the body by this for each pixel, degrees. */
const PER_PIXEL = 0.5;

const TURNS: [Turn, string][] = [
  ["left", "Turn left"],
  ["right", "Turn right"],
  ["up", "Turn up"],
  ["down", "Turn down"],
];

export interface SolidViewProps {
  called: string;
  shown: Shown | null;
  /** Where its pieces are; none for a body that does not move. */
  moment?: Moment | null;
  /** The named view that was last chosen, counted up by each choice. */
  view: { name: ViewName; chosen: number };
  onOpen?: (open: boolean) => void;
}

/** Colours as the page has them now. */
function lookOf(element: Element, bands: boolean) {
  // Bands of stress have the colours of the drawing, and its white paper and dark ink with them.
  if (bands) return { ink: "#1b1a17", plate: "#ffffff" };
  const style = getComputedStyle(element);
  return { ink: style.getPropertyValue("--ink"), plate: style.getPropertyValue("--plate") };
}

export function SolidView({ called, shown, moment, view, onOpen }: SolidViewProps) {
  const [open, setOpen] = useState(false);
  const [trouble, setTrouble] = useState("");
  const [told, setTold] = useState("");
  const [eye, setEye] = useState<Eye>(eyeOf(view.name));
  const [ready, setReady] = useState(0);
  const buttons = useId();
  const canvas = useRef<HTMLCanvasElement>(null);
  const labels = useRef<HTMLDivElement>(null);
  const opener = useRef<HTMLButtonElement>(null);
  const first = useRef<HTMLDivElement>(null);
  const stage = useRef<Stage | null>(null);
  const drag = useRef<{ id: number; x: number; y: number } | null>(null);

  useEffect(() => onOpen?.(open), [open]);
  useEffect(() => {
    setEye((eye) => eyeOf(view.name, eye.near));
  }, [view.chosen, view.name]);

  // The code that draws it comes with the first opening.
  useEffect(() => {
    if (!open) return;
    let wanted = true;
    import("./stage")
      .then(({ Stage }) => {
        if (!wanted || !canvas.current || !labels.current) return;
        stage.current = new Stage(canvas.current, labels.current);
        setReady((count) => count + 1);
        setTold(`${called} is open. Turn it with the buttons; Esc leaves it.`);
        first.current?.querySelector("button")?.focus();
      })
      .catch(() => {
        if (!wanted) return;
        setTrouble("This browser draws nothing in 3-D here (WebGL is missing or turned off). The drawing and the tables say the same.");
        setOpen(false);
      });
    return () => {
      wanted = false;
      stage.current?.dispose();
      stage.current = null;
    };
  }, [open, called]);

  const bands = shown?.bodies.some((body) => body.bands) ?? false;
  const draw = useCallback(() => {
    const here = stage.current;
    if (!here || !shown || !canvas.current) return;
    here.show(shown, lookOf(canvas.current, bands));
  }, [shown, bands]);
  useEffect(draw, [draw, ready]);
  useEffect(() => {
    const here = stage.current;
    if (!here || !shown) return;
    if (moment) {
      moment.places.forEach((place, index) => here.place(index, place));
      moment.points.forEach((points, index) => here.reshape(moment.places.length + index, points));
    }
    here.lookFrom(eye);
  }, [moment, eye, shown, ready]);
  useEffect(() => {
    if (!open) return;
    const dark = matchMedia("(prefers-color-scheme: dark)");
    const chosen = new MutationObserver(() => anew());
    chosen.observe(document.documentElement, { attributes: true, attributeFilter: ["data-colours"] });
    const anew = () => {
      draw();
      setReady((count) => count + 1);
    };
    const sized = new ResizeObserver(() => stage.current?.draw());
    if (canvas.current) sized.observe(canvas.current);
    dark.addEventListener("change", anew);
    return () => {
      dark.removeEventListener("change", anew);
      chosen.disconnect();
      sized.disconnect();
    };
  }, [open, draw]);

  const leave = useCallback(() => {
    setOpen(false);
    setTold(`${called} is closed.`);
    // The opener is drawn again first.
    setTimeout(() => opener.current?.focus(), 0);
  }, [called]);
  const look = (eye: Eye) => {
    setEye(eye);
    setTold(eyeInWords(eye));
  };
  const start = () => {
    setTrouble("");
    setOpen(true);
  };

  const move = (event: PointerEvent) => {
    const from = drag.current;
    if (!from || from.id !== event.pointerId) return;
    drag.current = { id: from.id, x: event.clientX, y: event.clientY };
    const [right, down] = [event.clientX - from.x, event.clientY - from.y];
    // A finger that goes up or down scrolls the page.
    setEye((eye) => turned(eye, PER_PIXEL * right, event.pointerType === "touch" ? 0 : PER_PIXEL * down));
  };
  return (
    <div
      class="solid"
      role="group"
      aria-label={called}
      onKeyDown={(event) => {
        if (event.key === "Escape" && open) {
          event.stopPropagation();
          leave();
        }
      }}
    >
      {!open && (
        <Press plain button={opener} onPress={start} waits={!shown}>
          Show {called.charAt(0).toLowerCase() + called.slice(1)}
        </Press>
      )}
      {open && (
        <>
          <div class="buttons" id={buttons} ref={first} role="group" aria-label={`${called}: turn it`}>
            {TURNS.map(([turn, words]) => (
              <Press key={turn} plain onPress={() => look(turnedBy(eye, turn))}>
                {words}
              </Press>
            ))}
            <Press plain onPress={() => look(nearer(eye, 1))}>Nearer</Press>
            <Press plain onPress={() => look(nearer(eye, -1))}>Farther</Press>
            <Press plain onPress={leave}>Leave the 3-D view (Esc)</Press>
          </div>
          <div class={bands ? "body on-white" : "body"}>
            <canvas
              ref={canvas}
              role="img"
              // What a drag does here, these buttons do by single presses.
              data-twin={buttons}
              aria-label={`${called}. ${eyeInWords(eye)}. The tables on this page say the same.`}
              onPointerDown={(event) => {
                drag.current = { id: event.pointerId, x: event.clientX, y: event.clientY };
              }}
              onPointerMove={move}
              onPointerUp={() => {
                drag.current = null;
              }}
              onPointerCancel={() => {
                drag.current = null;
              }}
              onPointerLeave={() => {
                drag.current = null;
              }}
            />
            <div class="labels" ref={labels} aria-hidden="true" />
          </div>
          <p class="from">
            {eyeInWords(eye)}. One press turns it by {TURN} degrees.
          </p>
        </>
      )}
      <p role="status" class="echo">
        {trouble || told}
      </p>
    </div>
  );
}
