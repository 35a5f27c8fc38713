/** Something asked of the server for the job as it stands, and asked again when the job changes or the server was silent. */

import { useEffect, useState } from "preact/hooks";
import { troubleOf } from "./desk";
import { ASK_AGAIN_MS } from "./server";

export interface Asked<T> {
  /** For which texts of the job this is. */
  stamp: string;
  given?: T;
  failed?: string;
}

/** What came last. While it `waits`, nothing is asked. */
export function useAsked<T>(stamp: string, ask: (signal: AbortSignal) => Promise<T>, waits = false): Asked<T> | null {
  const [asked, setAsked] = useState<Asked<T> | null>(null);
  useEffect(() => {
    if (waits) return;
    const stop = new AbortController();
    let later: ReturnType<typeof setTimeout> | undefined;
    const look = () => {
      ask(stop.signal)
        .then((given) => {
          if (!stop.signal.aborted) setAsked({ stamp, given });
        })
        .catch((error: unknown) => {
          if (stop.signal.aborted) return;
          const { kind, says } = troubleOf(error);
          setAsked({ stamp, failed: says });
          if (kind === "silent") later = setTimeout(look, ASK_AGAIN_MS);
        });
    };
    look();
    return () => {
      stop.abort();
      clearTimeout(later);
    };
    // What is asked hangs on the job alone.
  }, [stamp, waits]);
  return asked;
}
