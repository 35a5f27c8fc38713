/** One of several words, as radio buttons with targets that a shaking hand meets. Where each press writes, Keep writes it. */

import { useId, useRef, useState } from "preact/hooks";
import { Press } from "../press";
import { useUnwritten } from "../typing";

export interface Option {
  value: string;
  says: string;
  /** More about it, under its words. */
  more?: string;
}

export interface ChoiceProps {
  label: string;
  hint?: string;
  options: Option[];
  value: string | null;
  choose: (value: string) => void;
  /** Chosen is not yet written: Keep writes it. */
  keep?: boolean;
  busy?: boolean;
  /** Told what is chosen and may be written next. */
  ahead?: (value: string) => void;
  /** Beside the options. */
  children?: preact.ComponentChildren;
  /** Options that write nothing by themselves, and so need no Keep. */
  free?: string[];
  /** Stands beside the legend, as what a tap fills. */
  note?: string;
}

export function Choice({ label, hint, options, value, choose, keep = false, busy = false, ahead, children, free = [], note }: ChoiceProps) {
  const name = useId();
  const box = useRef<HTMLFieldSetElement>(null);
  const [pending, setPending] = useState<string | null>(null);
  const [stood, setStood] = useState(value);
  if (stood !== value) {
    setStood(value);
    setPending(null);
  }
  const shown = pending ?? value;
  const changed = keep && pending !== null && pending !== value;
  useUnwritten(changed);
  const press = (chosen: string) => {
    const waits = keep && !free.includes(chosen);
    setPending(waits ? chosen : null);
    if (!waits) choose(chosen);
    else if (chosen !== value) ahead?.(chosen);
  };
  const stay = (act: () => void) => () => {
    box.current?.focus();
    act();
  };
  const write = () => {
    if (pending !== null) choose(pending);
  };
  return (
    <fieldset
      class="choice"
      ref={box}
      tabIndex={-1}
      onKeyDown={(event) => {
        if (!changed) return;
        if (event.key === "Escape") {
          event.stopPropagation();
          setPending(null);
        }
        if (event.key === "Enter" && (event.target as HTMLElement).tagName === "INPUT") {
          event.preventDefault();
          if (!busy) write();
        }
      }}
    >
      <legend>
        {label}
        {note && <span class="note"> {note}</span>}
      </legend>
      {hint && <p class="hint">{hint}</p>}
      <div class="chips">
        {options.map((option) => (
          <label key={option.value} class={option.more ? "chip wide-chip" : "chip"}>
            <input type="radio" name={name} checked={shown === option.value} onChange={() => press(option.value)} />
            <span>
              {option.says}
              {option.more && <small>{option.more}</small>}
            </span>
          </label>
        ))}
        {children}
      </div>
      {changed && (
        <div class="typed">
          <Press onPress={stay(write)} waits={busy}>
            Keep
          </Press>
          <Press onPress={stay(() => setPending(null))} plain>
            Put back
          </Press>
        </div>
      )}
      {keep && (
        <p class="echo" aria-live="polite">
          {changed && "Not kept yet."}
        </p>
      )}
    </fieldset>
  );
}
