/** How something is said: one of several forms. Once chosen, the others step back behind a button. */

import { useRef, useState } from "preact/hooks";
import { Press } from "../press";
import type { Way } from "../types";
import type { Shape } from "./keys";
import { asksFor, howOf } from "./words";

export interface HowChosenProps {
  way: Way;
  label: string;
  shapes: Shape[];
  chosen: Shape | undefined;
  choose: (shape: Shape) => void;
}

export function HowChosen({ way, label, shapes, chosen, choose }: HowChosenProps) {
  const [open, setOpen] = useState(false);
  const box = useRef<HTMLDivElement>(null);
  const asks = (shape: Shape) => {
    const more = asksFor(shape);
    return more.toLowerCase() === howOf(way, shape).toLowerCase() ? null : <small>{more}</small>;
  };
  const take = (shape: Shape) => () => {
    // The buttons step back: who pressed one stays here.
    box.current?.focus();
    setOpen(false);
    choose(shape);
  };
  const title = label ? `${label}: how` : "How";
  return (
    <div class="hows" role="group" aria-label={chosen ? `${title}: ${howOf(way, chosen)}` : title} tabIndex={-1} ref={box}>
      <p class="how">
        {title}
        {chosen && `: ${howOf(way, chosen)}`}
      </p>
      {chosen && shapes.length > 1 && (
        <Press plain onPress={() => setOpen(!open)} expanded={open}>
          Another way
        </Press>
      )}
      {(open || !chosen) && (
        <div class="chips">
          {shapes.map((shape) => (
            <Press key={shape.lead} plain class="how-button" onPress={take(shape)} pressed={shape === chosen}>
              <strong>{howOf(way, shape)}</strong>{" "}
              {asks(shape)}
            </Press>
          ))}
        </div>
      )}
    </div>
  );
}
