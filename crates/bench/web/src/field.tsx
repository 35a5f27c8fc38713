/** One value: typed, echoed as it is understood, and kept by a press or by Enter. Esc puts back what stands in the file. */

import { useRef } from "preact/hooks";
import { useAhead } from "./ahead";
import type { Desk } from "./desk";
import { echoInWords, isUnderstood, useEcho } from "./echo";
import { Press } from "./press";
import { TextInput } from "./text_input";
import { asTyped, wayInWords } from "./typed";
import type { Act, FileName, Way } from "./types";
import { useTyping } from "./typing";

export interface FieldProps {
  desk: Desk;
  file: FileName;
  way: Way;
  label: string;
  /** Nothing where the file does not say it. */
  value: string | number | undefined;
  /** What it means, beside its label. */
  hint?: string;
  /** It takes a number, also where none stands yet. */
  number?: boolean;
  /** It may be left out: an empty text takes it out. */
  optional?: boolean;
  /** What would stand in the file, where that is more than what is typed: it is what is echoed. */
  written?: (text: string) => string;
  /** Writes it in another way than by its place. */
  write?: (text: string) => Promise<boolean>;
}

export function Field({ desk, file, way, label, value, hint, number, optional, written = (text) => text, write }: FieldProps) {
  const stands = value === undefined ? "" : String(value);
  const { text, changed, overtaken, type, putBack, sent } = useTyping(stands);
  const box = useRef<HTMLDivElement>(null);
  const echo = useEcho(desk.server, file, way, written(text), changed && text !== "");

  const isOut = optional === true && text.trim() === "";
  const acts: Act[] = [isOut ? { act: "remove", at: way } : { act: "set", at: way, to: asTyped(number ? 0 : (value ?? ""), written(text)) }];
  const says = isOut ? `${wayInWords(way)} taken out` : `${wayInWords(way)} ${written(text)}`;
  useAhead(desk, file, !write && changed && (isOut || isUnderstood(echo)) ? acts : null, says);
  const keep = () => {
    if (desk.busy || !changed) return;
    if (write) sent(write(text));
    else sent(desk.act(file, acts, says));
  };
  // The buttons go once they are pressed; whoever pressed one stays at the field.
  const fromButton = (act: () => void) => () => {
    box.current?.focus();
    act();
  };
  const key = (event: KeyboardEvent) => {
    if (event.key === "Escape" && changed) {
      event.stopPropagation();
      putBack();
    }
    if (event.key === "Enter" && changed) {
      event.preventDefault();
      keep();
    }
  };
  return (
    <div class="field" ref={box} tabIndex={-1}>
      <TextInput
        label={label}
        hint={hint}
        value={text}
        type={type}
        press={key}
        says={
          <>
            {overtaken && `The file says ${stands || "nothing"} now. `}
            {changed && "Not kept yet. "}
            {echoInWords(echo)}
          </>
        }
      >
        {changed && (
          <>
            <Press onPress={fromButton(keep)} waits={desk.busy}>
              Keep
            </Press>
            <Press onPress={fromButton(putBack)} plain>
              Put back
            </Press>
          </>
        )}
      </TextInput>
    </div>
  );
}
