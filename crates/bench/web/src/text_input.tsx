/** A text field with its label, its hint, its buttons, and what is said of what stands in it. */

import type { ComponentChildren, Ref } from "preact";
import { useId } from "preact/hooks";

export interface TextInputProps {
  label: string;
  hint?: string;
  value: string;
  type: (text: string) => void;
  press?: (event: KeyboardEvent) => void;
  focus?: () => void;
  /** Read out when it changes. */
  says: ComponentChildren;
  /** Ids of what else is said of it. */
  also?: string;
  /** A number without a unit. */
  counts?: boolean;
  input?: Ref<HTMLInputElement>;
  /** Buttons beside it. */
  children?: ComponentChildren;
}

export function TextInput({ label, hint, value, type, press, focus, says, also, counts = false, input, children }: TextInputProps) {
  const id = useId();
  const told = [hint && `${id}-hint`, `${id}-echo`, also].filter(Boolean).join(" ");
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
          ref={input}
          type="text"
          inputMode={counts ? "numeric" : undefined}
          autocomplete="off"
          autocapitalize="off"
          spellcheck={false}
          value={value}
          onInput={(event) => type(event.currentTarget.value)}
          onKeyDown={press}
          onFocus={focus}
          aria-describedby={told}
        />
        {children}
      </div>
      <p class="echo" id={`${id}-echo`} aria-live="polite">
        {says}
      </p>
    </>
  );
}
