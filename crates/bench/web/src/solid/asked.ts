/** Something asked of the server for the job as it stands, and asked again when the job changes. */

import { useEffect, useState } from "preact/hooks";
import { troubleOf } from "../desk";

export interface Asked<T> {
  /** For which texts of the job this is. */
  stamp: string;
  given?: T;
  failed?: string;
}

export function useAsked<T>(stamp: string, ask: (signal: AbortSignal) => Promise<T>): Asked<T> | null {
  const [asked, setAsked] = useState<Asked<T> | null>(null);
  useEffect(() => {
    const stop = new AbortController();
    ask(stop.signal)
      .then((given) => {
        if (!stop.signal.aborted) setAsked({ stamp, given });
      })
      .catch((error: unknown) => {
        if (!stop.signal.aborted) setAsked({ stamp, failed: troubleOf(error).says });
      });
    return () => stop.abort();
    // What is asked hangs on the job alone.
  }, [stamp]);
  return asked;
}
