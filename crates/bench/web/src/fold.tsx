/** What is folded up until it is asked for. A second press right after the first does not fold it up again. */

import type { ComponentChildren } from "preact";
import { useRef } from "preact/hooks";
import { secondPressMs } from "./settings";

export interface FoldProps {
  class: string;
  says: ComponentChildren;
  children: ComponentChildren;
}

export function Fold({ says, children, ...more }: FoldProps) {
  const last = useRef(Number.NEGATIVE_INFINITY);
  const press = (event: MouseEvent) => {
    // When it was pressed, not when the page came to it: a page that is busy comes late.
    const now = event.timeStamp;
    if (now - last.current < secondPressMs()) event.preventDefault();
    else last.current = now;
  };
  return (
    <details class={more.class}>
      <summary onClick={press}>{says}</summary>
      {children}
    </details>
  );
}
