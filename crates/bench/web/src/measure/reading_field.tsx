/** The field of one reading, large: what it is understood as, what it should come to, and whether it looks like a slip. */

import { useEffect, useId, useRef, useState } from "preact/hooks";
import { echoInWords, useEcho } from "../echo";
import { Press } from "../press";
import type { Server } from "../server";
import type { FileName, Way } from "../types";
import type { Meant, Slip, SlipOf } from "./measured";

export interface ReadingFieldProps {
  server: Server;
  file: FileName;
  way: Way;
  label: string;
  typed: string | null;
  /** What all else says of it. */
  expected: string | null;
  band: string | null;
  /** Of what stands in the file. */
  suspect: { off: string | null; meant: Meant[] } | null;
  busy: boolean;
  /** The points of a reading that is not in the file yet. */
  between?: string[];
  keep: (text: string, on: boolean) => Promise<boolean>;
  keepSays: string;
}

function useSlip(server: Server, of: SlipOf, text: string, wanted: boolean): Slip | null {
  const [heard, setHeard] = useState<{ of: string; slip: Slip } | null>(null);
  const place = JSON.stringify(of);
  useEffect(() => {
    if (!wanted) return;
    const stop = new AbortController();
    server
      .slip(JSON.parse(place) as SlipOf, text, stop.signal)
      .then((slip) => {
        if (!stop.signal.aborted) setHeard({ of: text, slip });
      })
      .catch(() => {
        // Without it the reading can be kept all the same; the survey tells a slip afterwards.
      });
    return () => stop.abort();
  }, [server, place, text, wanted]);
  return wanted && heard?.of === text ? heard.slip : null;
}

export function ReadingField(props: ReadingFieldProps) {
  const { server, file, way, label, typed, expected, band, suspect, busy, between, keep, keepSays } = props;
  const stands = typed ?? "";
  const [text, setText] = useState(stands);
  const [stood, setStood] = useState(stands);
  if (stood !== stands) {
    setStood(stands);
    setText(stands);
  }
  const id = useId();
  const box = useRef<HTMLDivElement>(null);
  const changed = text !== stands;
  const said = changed && text.trim() !== "";
  const echo = useEcho(server, file, way, text, text.trim() !== "");
  const slip = useSlip(server, between ? { file, between } : { file, way }, text, said);
  const meant = slip?.did_you_mean ?? (changed ? [] : (suspect?.meant ?? []));
  const warns = slip?.outside ? (slip.says ?? "It lies outside what all else says.") : !changed && suspect ? `It looks like a slip${suspect.off ? `: it is off by ${suspect.off}` : ""}.` : null;
  const write = (on: boolean) => {
    if (busy || !said) return;
    box.current?.focus();
    void keep(text.trim(), on);
  };
  return (
    <div class="reading-field" ref={box} tabIndex={-1}>
      <label for={id}>{label}</label>
      <input
        id={id}
        type="text"
        autocomplete="off"
        autocapitalize="off"
        spellcheck={false}
        value={text}
        onInput={(event) => setText(event.currentTarget.value)}
        onKeyDown={(event) => {
          if (event.key === "Escape" && changed) {
            event.stopPropagation();
            setText(stands);
          }
          if (event.key === "Enter" && said) {
            event.preventDefault();
            if (!busy) void keep(text.trim(), false);
          }
        }}
        aria-describedby={`${id}-echo ${id}-band ${id}-slip`}
      />
      <p class="echo" id={`${id}-echo`} aria-live="polite">
        {changed && "Not kept yet. "}
        {echoInWords(echo)}
      </p>
      <p class="band" id={`${id}-band`}>
        {expected ? `From all else it should be ${expected}` : "Nothing else tells what it should be."}
        {expected && band ? `; between ${band.replace(" to ", " and ")}.` : expected ? "." : ""}
      </p>
      <div class={warns ? "slip warns" : "slip"} id={`${id}-slip`} aria-live="polite">
        {warns && (
          <p>
            <strong>Look again.</strong> {warns}
          </p>
        )}
        {meant.length > 0 && (
          <div class="acts" role="group" aria-label="Did you mean">
            <span class="did-you-mean">Did you mean</span>
            {meant.map((one) => (
              <Press key={one.text} plain onPress={() => setText(one.text)}>
                <strong>{one.text}</strong>{" "}
                <small>{one.why.replace(`${one.text}: `, "")}</small>
              </Press>
            ))}
          </div>
        )}
      </div>
      <div class="acts">
        <Press onPress={() => write(true)} waits={busy || !said}>
          {keepSays}, and on to the next
        </Press>
        <Press onPress={() => write(false)} waits={busy || !said} plain>
          {keepSays}
        </Press>
        <Press
          plain
          waits={!changed}
          onPress={() => {
            box.current?.focus();
            setText(stands);
          }}
        >
          Put back
        </Press>
      </div>
    </div>
  );
}
