/**
 * What is folded up until it is asked for, and is only made then: a sheet with every form of a job in it is slow to paint. A
 * second press right after the first does not fold it up again.
 */

import type { ComponentChildren } from "preact";
import { useRef, useState } from "preact/hooks";
import { secondPressMs } from "./settings";

export interface FoldProps {
  class: string;
  says: ComponentChildren;
  children: ComponentChildren;
}

export function Fold({ says, children, ...more }: FoldProps) {
  const last = useRef(Number.NEGATIVE_INFINITY);
  // Once made it stays, so that nothing typed in it is lost when it is folded up again.
  const [made, setMade] = useState(false);
  const press = (event: MouseEvent) => {
    // When it was pressed, not when the page came to it: a page that is busy comes late.
    const now = event.timeStamp;
    if (now - last.current < secondPressMs()) event.preventDefault();
    else last.current = now;
  };
  return (
    <details class={more.class} onToggle={(event) => event.currentTarget.open && setMade(true)}>
      <summary onClick={press}>{says}</summary>
      {made && children}
    </details>
  );
}
