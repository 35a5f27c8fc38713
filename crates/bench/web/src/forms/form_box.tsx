/**
 * A form that is opened, written by one press, and left. With something in it that is not written it is left by a second word:
 * the first says what would go.
 */

import type { ComponentChildren, RefObject } from "preact";
import { useCallback, useEffect, useRef, useState } from "preact/hooks";
import { useOnce } from "../desk";
import { Unwritten } from "../typing";

const AGAINST = "Not written: what is said here goes when you leave it. Leave it once more to do so.";

/** What stands against leaving the form that is open, said once; nothing when it can be left. */
export type Guard = { current: (() => string | null) | null };

export interface FormBoxProps {
  title: string;
  /** What is said in it and not written; nothing where nothing is. Its fields that are written one by one tell it themselves. */
  said: string | null;
  close: () => void;
  /** For who would put something else in its place. */
  guard?: Guard;
  heading: RefObject<HTMLHeadingElement | null>;
  /** `leave` is for its own button. */
  children: (leave: () => void) => ComponentChildren;
}

export function FormBox({ title, said, close, guard, heading, children }: FormBoxProps) {
  const [unwritten, setUnwritten] = useState(0);
  const count = useCallback((by: 1 | -1) => setUnwritten((fields) => fields + by), []);
  /** What was in it when its leaving was warned of. */
  const [warned, setWarned] = useState<string | null>(null);
  const now = said ?? (unwritten > 0 ? `${unwritten} fields` : null);
  const against = () => {
    if (now === null || warned === now) return null;
    setWarned(now);
    return AGAINST;
  };
  const latest = useRef(against);
  latest.current = against;
  useEffect(() => {
    if (!guard) return;
    const own = () => latest.current();
    guard.current = own;
    return () => {
      if (guard.current === own) guard.current = null;
    };
  }, [guard]);
  const leave = () => {
    if (!against()) close();
  };
  const escape = useOnce(leave);
  return (
    <Unwritten.Provider value={count}>
      <div
        class="add-form"
        role="group"
        aria-label={title}
        // What is typed after the warning is warned of again.
        onInput={() => setWarned(null)}
        onKeyDown={(event) => {
          if (event.key !== "Escape") return;
          event.stopPropagation();
          if (!event.repeat) escape();
        }}
      >
        <h3 tabIndex={-1} ref={heading}>
          {title}
        </h3>
        {children(leave)}
        <p class="add-says" role="status">
          {now !== null && warned === now ? AGAINST : ""}
        </p>
      </div>
    </Unwritten.Provider>
  );
}
