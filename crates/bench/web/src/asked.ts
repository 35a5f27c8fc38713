/** Something asked of the server for the job as it stands, and asked again when the job changes or the server was silent. */

import { useEffect, useRef, useState } from "preact/hooks";
import { troubleOf } from "./desk";
import { ASK_AGAIN_MS } from "./server";
import { inTurn } from "./turns";

export interface Asked<T> {
  /** For which texts of the job this is. */
  stamp: string;
  given?: T;
  failed?: string;
}

export interface AskedWhen<T> {
  /** Nothing is asked meanwhile. */
  waits?: boolean;
  /** What is not is asked when all else has been. */
  inSight?: boolean;
  /** It is here already, and need not be asked for. */
  here?: T;
}

/** What came last. */
export function useAsked<T>(
  stamp: string,
  ask: (signal: AbortSignal) => Promise<T>,
  { waits = false, inSight = true, here }: AskedWhen<T> = {},
): Asked<T> | null {
  const last = useRef<Asked<T> | null>(null);
  const [, drawAnew] = useState(0);
  /** For which texts it came or is under way. */
  const under = useRef<{ stamp: string; stop: AbortController } | null>(null);
  const came = (asked: Asked<T>) => {
    last.current = asked;
    drawAnew((count) => count + 1);
  };
  const isHere = here !== undefined && !waits;
  if (isHere && (last.current?.stamp !== stamp || last.current.given === undefined)) last.current = { stamp, given: here };
  useEffect(() => {
    if (waits || under.current?.stamp === stamp) return;
    under.current?.stop.abort();
    const own = { stamp, stop: new AbortController() };
    under.current = isHere ? own : null;
    if (isHere) return;
    let later: ReturnType<typeof setTimeout> | undefined;
    const look = async () => {
      under.current = own;
      try {
        const given = await ask(own.stop.signal);
        if (!own.stop.signal.aborted) came({ stamp, given });
      } catch (error) {
        if (own.stop.signal.aborted) return;
        const { kind, says } = troubleOf(error);
        came({ stamp, failed: says });
        if (kind === "silent") later = setTimeout(look, ASK_AGAIN_MS);
      }
    };
    const leave = inTurn(inSight, look);
    own.stop.signal.addEventListener("abort", () => clearTimeout(later));
    return leave;
    // What is asked hangs on the job alone.
  }, [stamp, waits, inSight, isHere]);
  useEffect(() => () => under.current?.stop.abort(), []);
  return last.current;
}
