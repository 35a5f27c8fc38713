/**
 * A button that acts once for each press. One that waits stays where the keyboard finds it, and does nothing: a button that is
 * taken out of reach while it has the focus would lose the person's place.
 */

import type { ComponentChildren } from "preact";
import { useOnce } from "./desk";

interface PressProps {
  onPress: () => void;
  /** Nothing is done now: something is under way, or there is nothing to do. */
  waits?: boolean;
  plain?: boolean;
  /** For what is read out, where the words beside it are needed. */
  says?: string;
  children: ComponentChildren;
}

export function Press({ onPress, waits = false, plain = false, says, children }: PressProps) {
  const press = useOnce(() => {
    if (!waits) onPress();
  });
  return (
    <button type="button" class={plain ? "plain" : undefined} aria-disabled={waits} aria-label={says} onClick={press}>
      {children}
    </button>
  );
}
