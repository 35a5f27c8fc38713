/** A text of a draft, echoed as it is typed. */

import { useId } from "preact/hooks";
import { echoInWords, useEcho } from "../echo";
import type { Way } from "../types";
import type { Editor } from "./editor";

export interface DraftFieldProps {
  editor: Editor;
  way: Way;
  label: string;
  value: string;
  hint?: string;
  /** What it is, where nothing is asked of the program about it. */
  silent?: boolean;
  type: (text: string) => void;
}

export function DraftField({ editor, way, label, value, hint, silent = false, type }: DraftFieldProps) {
  const id = useId();
  const echo = useEcho(editor.desk.server, editor.file, way, value, !silent && value.trim() !== "");
  return (
    <div class="field">
      <label for={id}>{label}</label>
      {hint && (
        <p class="hint" id={`${id}-hint`}>
          {hint}
        </p>
      )}
      <div class="typed">
        <input
          id={id}
          type="text"
          autocomplete="off"
          autocapitalize="off"
          spellcheck={false}
          value={value}
          onInput={(event) => type(event.currentTarget.value)}
          aria-describedby={hint ? `${id}-hint ${id}-echo` : `${id}-echo`}
        />
      </div>
      <p class="echo" id={`${id}-echo`} aria-live="polite">
        {echoInWords(echo)}
      </p>
    </div>
  );
}
