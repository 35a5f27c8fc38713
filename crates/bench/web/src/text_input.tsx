/** A text field with its label, its hint, its buttons, and what is said of what stands in it. */

import type { ComponentChildren } from "preact";
import { useId } from "preact/hooks";

export interface TextInputProps {
  label: string;
  hint?: string;
  value: string;
  type: (text: string) => void;
  press?: (event: KeyboardEvent) => void;
  /** Read out when it changes. */
  says: ComponentChildren;
  /** Buttons beside it. */
  children?: ComponentChildren;
}

export function TextInput({ label, hint, value, type, press, says, children }: TextInputProps) {
  const id = useId();
  return (
    <>
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
          onKeyDown={press}
          aria-describedby={hint ? `${id}-hint ${id}-echo` : `${id}-echo`}
        />
        {children}
      </div>
      <p class="echo" id={`${id}-echo`} aria-live="polite">
        {says}
      </p>
    </>
  );
}
