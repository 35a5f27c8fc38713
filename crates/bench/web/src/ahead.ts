/** What may be done next is worked out while it is typed: a person reads what is echoed before it is kept, and has the answers then. */

import { useEffect } from "preact/hooks";
import type { Desk } from "./desk";
import type { Act, FileName } from "./types";

/** Has these acts worked out whenever they are others, `says` as they will be called; nothing where there are none yet. */
export function useAhead(desk: Pick<Desk, "ahead">, file: FileName, acts: Act[] | null, says: string): void {
  // They are made anew each time something is drawn, and are the same.
  const said = acts && JSON.stringify(acts);
  useEffect(() => {
    if (said !== null) desk.ahead(file, JSON.parse(said) as Act[], says);
  }, [file, said, says]);
}
