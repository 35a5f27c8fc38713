/**
 * A button that acts once for each press. One that waits stays where the keyboard finds it, and does nothing: a button that is
 * taken out of reach while it has the focus would lose the person's place.
 */

import type { ComponentChildren, Ref } from "preact";
import { useOnce } from "./desk";
import { secondPressMs } from "./settings";

/** Two presses nearer than this are at one place: a button is at least 56 px. */
const SAME_PLACE_PX = 45;

let last = { at_ms: Number.NEGATIVE_INFINITY, x: 0, y: 0 };

/** A second press at the same place, where the first may have moved another button under the finger. By keyboard there is none. */
function isShake(event: MouseEvent): boolean {
  if (event.detail === 0) return false;
  const near = Math.hypot(event.clientX - last.x, event.clientY - last.y) < SAME_PLACE_PX;
  const shake = near && event.timeStamp - last.at_ms < secondPressMs();
  if (!shake) last = { at_ms: event.timeStamp, x: event.clientX, y: event.clientY };
  return shake;
}

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
  button?: Ref<HTMLButtonElement>;
  children: ComponentChildren;
}

export function Press({ onPress, waits = false, plain = false, says, pressed, expanded, id, button, children, ...more }: PressProps) {
  const press = useOnce(() => {
    if (!waits) onPress();
  });
  const classes = [plain ? "plain" : "", more.class ?? ""].filter(Boolean).join(" ");
  return (
    <button
      type="button"
      id={id}
      ref={button}
      class={classes || undefined}
      aria-disabled={waits}
      aria-label={says}
      aria-pressed={pressed}
      aria-expanded={expanded}
      onClick={(event: MouseEvent) => !isShake(event) && press()}
    >
      {children}
    </button>
  );
}
