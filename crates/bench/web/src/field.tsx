/** One value: typed, echoed as it is understood, and kept by a press or by Enter. Esc puts back what stands in the file. */

import { useEffect, useId, useMemo, useState } from "preact/hooks";
import { type Desk, once } from "./desk";
import type { Echo, TypedKind } from "./server";
import { asTyped, wayInWords } from "./typed";
import type { FileName, Way } from "./types";

/** Keys whose value is a metal, a thread or an angle bent through; other text may be a length, and is echoed when it is one. */
const KINDS: Record<string, TypedKind> = { stock: "stock", plate: "stock", bent: "bend", for: "thread" };
/** Keys whose value is a name or words: nothing to understand. */
const WORDS = /^(title|about|purpose|onto|ask|revision|units|hand|down|way|kind|hole|axis|with|lines_on|still|grade|metal|toward|along|across|tools|process|name|date|gauge)$/;

export interface FieldProps {
  desk: Desk;
  file: FileName;
  way: Way;
  label: string;
  value: string | number;
  inch: boolean;
}

function kindOf(way: Way): TypedKind | null {
  const key = [...way].reverse().find((step) => typeof step === "string") ?? "";
  if (WORDS.test(String(key))) return null;
  return KINDS[String(key)] ?? "length";
}

export function Field({ desk, file, way, label, value, inch }: FieldProps) {
  const stands = String(value);
  const [text, setText] = useState(stands);
  const [echo, setEcho] = useState<Echo | null>(null);
  const id = useId();
  // What the file says now goes before what was typed for what it said then.
  const [typedOver, setTypedOver] = useState(stands);
  if (typedOver !== stands) {
    setTypedOver(stands);
    setText(stands);
  }
  const changed = text !== stands;
  const kind = kindOf(way);

  useEffect(() => {
    if (!changed || !kind) {
      setEcho(null);
      return;
    }
    const stop = new AbortController();
    desk.server
      .understood(kind, text, inch, stop.signal)
      .then(setEcho)
      .catch(() => {});
    return () => stop.abort();
  }, [text, changed, kind, inch, desk.server]);

  const keep = useMemo(
    () =>
      once(() => {
        void desk.act(file, [{ act: "set", at: way, to: asTyped(value, text) }], `${wayInWords(way)} ${text}`);
      }),
    [desk, file, way, value, text],
  );
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
            <button type="button" onClick={keep} disabled={desk.busy}>
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
        {echo?.understood && `Understood: ${echo.understood}. `}
        {echo?.not_understood && kind !== "length" && echo.not_understood}
      </p>
    </div>
  );
}
