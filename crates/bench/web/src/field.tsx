/** One value: typed, echoed as it is understood, and kept by a press or by Enter. Esc puts back what stands in the file. */

import { useEffect, useId, useState } from "preact/hooks";
import { type Desk, useOnce } from "./desk";
import type { Echo } from "./server";
import { asTyped, wayInWords } from "./typed";
import type { FileName, Way } from "./types";

/** What came of a text: it is told only while that text stands in the field. */
interface Heard {
  of: string;
  echo: Echo | "silent";
}

export interface FieldProps {
  desk: Desk;
  file: FileName;
  way: Way;
  label: string;
  value: string | number;
}

export function Field({ desk, file, way, label, value }: FieldProps) {
  const stands = String(value);
  const [text, setText] = useState(stands);
  const [heard, setHeard] = useState<Heard | null>(null);
  const id = useId();
  // What the file says now goes before what was typed for what it said then.
  const [typedOver, setTypedOver] = useState(stands);
  if (typedOver !== stands) {
    setTypedOver(stands);
    setText(stands);
  }
  const changed = text !== stands;
  const echo = changed && heard?.of === text ? heard.echo : null;
  // A way is a new list each time it is drawn, and the same place.
  const place = JSON.stringify(way);

  useEffect(() => {
    if (!changed) return;
    const stop = new AbortController();
    desk.server
      .understood(file, JSON.parse(place), text, stop.signal)
      .then((echo) => {
        if (!stop.signal.aborted) setHeard({ of: text, echo });
      })
      .catch(() => {
        if (!stop.signal.aborted) setHeard({ of: text, echo: "silent" });
      });
    return () => stop.abort();
  }, [text, changed, file, place, desk.server]);

  const keep = useOnce(() => {
    if (desk.busy) return;
    void desk.act(file, [{ act: "set", at: way, to: asTyped(value, text) }], `${wayInWords(way)} ${text}`);
  });
  const key = (event: KeyboardEvent) => {
    if (event.key === "Escape") setText(stands);
    if (event.key === "Enter" && changed) {
      event.preventDefault();
      keep();
    }
  };
  return (
    <div class="field">
      <label for={id}>{label}</label>
      <div class="typed">
        <input
          id={id}
          type="text"
          autocomplete="off"
          autocapitalize="off"
          spellcheck={false}
          value={text}
          onInput={(event) => setText(event.currentTarget.value)}
          onKeyDown={key}
          aria-describedby={`${id}-echo`}
        />
        {changed && (
          <>
            <button type="button" onClick={keep} aria-disabled={desk.busy}>
              Keep
            </button>
            <button type="button" class="plain" onClick={() => setText(stands)}>
              Put back
            </button>
          </>
        )}
      </div>
      <p class="echo" id={`${id}-echo`} aria-live="polite">
        {changed && "Not kept yet. "}
        {echo === "silent" && "How it is understood could not be asked. "}
        {echo && echo !== "silent" && echo.understood && `Understood: ${echo.understood}. `}
        {echo && echo !== "silent" && echo.not_understood}
      </p>
    </div>
  );
}
