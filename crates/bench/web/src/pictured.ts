/** A drawing of the job on the page: one that is in sight comes with each change of the job, the others when nothing else is to be done. */

import type { RefObject } from "preact";
import { useEffect } from "preact/hooks";
import { type Asked, useAsked } from "./asked";
import type { Server } from "./server";
import { useInSight } from "./turns";
import type { PictureName } from "./types";

export interface Pictured {
  /** Goes onto what holds the drawing. */
  ref: RefObject<HTMLDivElement | null>;
  asked: Asked<string[]> | null;
}

/** The pages of a drawing, and for which state they are. */
export function usePicture(server: Server, name: PictureName, stamp: string, waits = false): Pictured {
  const { ref, inSight } = useInSight<HTMLDivElement>();
  useEffect(() => (inSight ? server.inSight(name) : undefined), [server, name, inSight]);
  // What is out of sight is put into the page in its turn.
  const here = inSight ? server.pictureHere(name, stamp) : undefined;
  const asked = useAsked(stamp, () => server.picture(name, stamp), { waits, inSight, here });
  return { ref, asked };
}
