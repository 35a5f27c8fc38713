/** A text of a draft, echoed as it is typed; Esc puts back what stood in it when it was come to. */

import { useRef } from "preact/hooks";
import { echoInWords, useEcho } from "../echo";
import { TextInput } from "../text_input";
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
  /** What would stand in the file, where that is more than what is typed: it is what is echoed. */
  written?: (text: string) => string;
  type: (text: string) => void;
}

export function DraftField({ editor, way, label, value, hint, silent = false, written = (text) => text, type }: DraftFieldProps) {
  const echo = useEcho(editor.desk.server, editor.file, way, written(value), !silent && value.trim() !== "");
  const stood = useRef(value);
  const key = (event: KeyboardEvent) => {
    if (event.key !== "Escape" || value === stood.current) return;
    event.stopPropagation();
    type(stood.current);
  };
  const come = () => {
    stood.current = value;
  };
  return (
    <div class="field">
      <TextInput label={label} hint={hint} value={value} type={type} press={key} focus={come} says={echoInWords(echo)} />
    </div>
  );
}
