/** What the program understands of a text, asked as it is typed. */

import { useEffect, useState } from "preact/hooks";
import type { Echo, Server } from "./server";
import type { FileName, Way } from "./types";

/** What came of a text: it is told only while that text stands in the field. */
interface Heard {
  of: string;
  echo: Echo | "silent";
}

export function useEcho(server: Server, file: FileName, way: Way, text: string, wanted: boolean): Echo | "silent" | null {
  const [heard, setHeard] = useState<Heard | null>(null);
  // A way is a new list each time it is drawn, and the same place.
  const place = JSON.stringify(way);
  useEffect(() => {
    if (!wanted) return;
    const stop = new AbortController();
    server
      .understood(file, JSON.parse(place) as Way, text, stop.signal)
      .then((echo) => {
        if (!stop.signal.aborted) setHeard({ of: text, echo });
      })
      .catch(() => {
        if (!stop.signal.aborted) setHeard({ of: text, echo: "silent" });
      });
    return () => stop.abort();
  }, [text, wanted, file, place, server]);
  return wanted && heard?.of === text ? heard.echo : null;
}

/** Whether a text can be kept as it stands; not before it has been heard. */
export function isUnderstood(echo: Echo | "silent" | null): boolean {
  return typeof echo === "object" && echo !== null && echo.not_understood === undefined;
}

/** The echo in words. */
export function echoInWords(echo: Echo | "silent" | null): string {
  if (echo === null) return "";
  if (echo === "silent") return "How it is understood could not be asked.";
  return [echo.understood && `Understood: ${echo.understood}.`, echo.not_understood].filter(Boolean).join(" ");
}
