/** The field of one reading, large: what it is understood as, what it should come to, and whether it looks like a slip. */

import { useEffect, useId, useRef, useState } from "preact/hooks";
import { useAhead } from "../ahead";
import type { Desk } from "../desk";
import { echoInWords, isUnderstood, useEcho } from "../echo";
import { Press } from "../press";
import type { Server } from "../server";
import { TextInput } from "../text_input";
import type { Act, FileName, Way } from "../types";
import { type Unkept, useTyping } from "../typing";
import type { Meant, Slip, SlipOf } from "./measured";

/** What is written for a reading, and what that is called. */
export interface Written {
  acts: Act[];
  says: string;
}

export interface ReadingFieldProps {
  desk: Desk;
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
  /** What is written when it is kept. */
  written: (text: string) => Written;
  keep: (text: string, on: boolean) => Promise<boolean>;
  keepSays: string;
  /** Where what is typed stays while another reading is looked at, and under which name. */
  unkept: Unkept;
  of: string;
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
  const { desk, file, way, label, typed, expected, band, suspect, busy, between, written, keep, keepSays, unkept, of } = props;
  const { server } = desk;
  const stands = typed ?? "";
  const { text, changed, overtaken, type, putBack, sent } = useTyping(stands, unkept, of);
  const id = useId();
  const box = useRef<HTMLDivElement>(null);
  const said = changed && text.trim() !== "";
  const echo = useEcho(server, file, way, text, text.trim() !== "");
  const { acts, says } = written(text.trim());
  useAhead(desk, file, said && isUnderstood(echo) ? acts : null, says);
  const slip = useSlip(server, between ? { file, between } : { file, way }, text, said);
  const meant = slip?.did_you_mean ?? (changed ? [] : (suspect?.meant ?? []));
  const warns = slip?.outside ? (slip.says ?? "It lies outside what all else says.") : !changed && suspect ? `It looks like a slip${suspect.off ? `: it is off by ${suspect.off}` : ""}.` : null;
  const write = (on: boolean) => {
    if (busy || !said) return;
    box.current?.focus();
    sent(keep(text.trim(), on));
  };
  const key = (event: KeyboardEvent) => {
    if (event.key === "Escape" && changed) {
      event.stopPropagation();
      putBack();
    }
    if (event.key === "Enter" && said) {
      event.preventDefault();
      if (!busy) sent(keep(text.trim(), false));
    }
  };
  return (
    <div class="reading-field" ref={box} tabIndex={-1}>
      <TextInput
        label={label}
        value={text}
        type={type}
        press={key}
        also={`${id}-band ${id}-slip`}
        says={
          <>
            {overtaken && `The file says ${stands || "nothing"} now. `}
            {changed && "Not kept yet. "}
            {echoInWords(echo)}
          </>
        }
      />
      <p class="band" id={`${id}-band`}>
        {expected ? `From all else it should be ${expected}` : "Nothing else tells what it should be."}
        {expected && (band ? `; good readings give ${band}.` : ".")}
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
              <Press key={one.text} plain onPress={() => type(one.text)}>
                <strong>{one.text}</strong>{" "}
                <small>{one.why}</small>
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
            putBack();
          }}
        >
          Put back
        </Press>
      </div>
    </div>
  );
}
