/**
 * A button that acts once for each press. One that waits stays where the keyboard finds it, and does nothing: a button that is
 * taken out of reach while it has the focus would lose the person's place.
 */

import type { ComponentChildren } from "preact";
import { useOnce } from "./desk";

export interface PressProps {
  onPress: () => void;
  /** Nothing is done now: something is under way, or there is nothing to do. */
  waits?: boolean;
  plain?: boolean;
  /** For what is read out, where the words beside it are needed. */
  says?: string;
  /** Whether what it stands for is chosen. */
  pressed?: boolean;
  /** Whether what it opens is open. */
  expanded?: boolean;
  class?: string;
  id?: string;
  children: ComponentChildren;
}

export function Press({ onPress, waits = false, plain = false, says, pressed, expanded, id, children, ...more }: PressProps) {
  const press = useOnce(() => {
    if (!waits) onPress();
  });
  const classes = [plain ? "plain" : "", more.class ?? ""].filter(Boolean).join(" ");
  return (
    <button
      type="button"
      id={id}
      class={classes || undefined}
      aria-disabled={waits}
      aria-label={says}
      aria-pressed={pressed}
      aria-expanded={expanded}
      onClick={press}
    >
      {children}
    </button>
  );
}
