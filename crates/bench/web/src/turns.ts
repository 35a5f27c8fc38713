/** In which order what the page shows is asked for: what is in sight at once, the rest one after another when nothing else is to be done. */

import type { RefObject } from "preact";
import { useEffect, useRef, useState } from "preact/hooks";

/** So far outside the window is still in sight: a person scrolls there before it could come. */
const BESIDE = "25%";
/** What is out of sight is asked for within this even where the page is never idle, ms. */
const AT_LATEST_MS = 2000;

type Work = () => Promise<void>;

/** Work that is under way for what is in sight. */
let atOnce = 0;
let isAtRest = false;
let isBooked = false;
const rest: Work[] = [];

/** Does something once nothing else is to be done, or at the latest after a while; what comes back takes it back. */
export function whenIdle(then: () => void, atLatest_ms: number): () => void {
  if (typeof requestIdleCallback === "function") {
    const asked = requestIdleCallback(then, { timeout: atLatest_ms });
    return () => cancelIdleCallback(asked);
  }
  const asked = setTimeout(then, 0);
  return () => clearTimeout(asked);
}

function next(): void {
  if (isBooked || isAtRest || atOnce > 0 || rest.length === 0) return;
  isBooked = true;
  whenIdle(() => {
    isBooked = false;
    if (atOnce > 0) return;
    const work = rest.shift();
    if (!work) return;
    isAtRest = true;
    void work().finally(() => {
      isAtRest = false;
      next();
    });
  }, AT_LATEST_MS);
}

/** Does the work in its turn; what comes back takes it out of the turns. Work tells of its own failures. */
export function inTurn(inSight: boolean, work: Work): () => void {
  if (inSight) {
    atOnce += 1;
    void work().finally(() => {
      atOnce -= 1;
      next();
    });
    return () => undefined;
  }
  rest.push(work);
  next();
  return () => {
    const at = rest.indexOf(work);
    if (at >= 0) rest.splice(at, 1);
  };
}

/** Whether something is in sight, or nearly; where that cannot be known it is. */
export function useInSight<E extends Element>(): { ref: RefObject<E | null>; inSight: boolean } {
  const ref = useRef<E>(null);
  const known = typeof IntersectionObserver === "function";
  const [inSight, setInSight] = useState(!known);
  useEffect(() => {
    const shown = ref.current;
    if (!shown || !known) return;
    const observer = new IntersectionObserver(
      (entries) => setInSight(entries[entries.length - 1]?.isIntersecting ?? false),
      { rootMargin: BESIDE },
    );
    observer.observe(shown);
    return () => observer.disconnect();
  }, [known]);
  return { ref, inSight };
}
