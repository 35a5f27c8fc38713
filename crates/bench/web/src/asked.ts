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

export interface AskedWhen {
  /** Nothing is asked meanwhile. */
  waits?: boolean;
  /** What is not is asked when all else has been. */
  inSight?: boolean;
}

/** What came last. */
export function useAsked<T>(
  stamp: string,
  ask: (signal: AbortSignal) => Promise<T>,
  { waits = false, inSight = true }: AskedWhen = {},
): Asked<T> | null {
  const [asked, setAsked] = useState<Asked<T> | null>(null);
  /** For which texts it came or is under way. */
  const under = useRef<{ stamp: string; stop: AbortController } | null>(null);
  useEffect(() => {
    if (waits || under.current?.stamp === stamp) return;
    under.current?.stop.abort();
    under.current = null;
    const own = { stamp, stop: new AbortController() };
    let later: ReturnType<typeof setTimeout> | undefined;
    const look = async () => {
      under.current = own;
      try {
        const given = await ask(own.stop.signal);
        if (!own.stop.signal.aborted) setAsked({ stamp, given });
      } catch (error) {
        if (own.stop.signal.aborted) return;
        const { kind, says } = troubleOf(error);
        setAsked({ stamp, failed: says });
        if (kind === "silent") later = setTimeout(look, ASK_AGAIN_MS);
      }
    };
    const leave = inTurn(inSight, look);
    own.stop.signal.addEventListener("abort", () => clearTimeout(later));
    return leave;
    // What is asked hangs on the job alone.
  }, [stamp, waits, inSight]);
  useEffect(() => () => under.current?.stop.abort(), []);
  return asked;
}
