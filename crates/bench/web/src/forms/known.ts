/** The key tables, asked for once; nothing while they are on their way, or where the server has none. */

import { useEffect, useState } from "preact/hooks";
import type { Server } from "../server";
import type { Keys } from "./keys";

const asked = new WeakMap<Server, Promise<Keys | null>>();

function keysOf(server: Server): Promise<Keys | null> {
  const known = asked.get(server);
  if (known) return known;
  const coming = server.keys().catch(() => {
    // Asked again the next time that a form is drawn.
    asked.delete(server);
    return null;
  });
  asked.set(server, coming);
  return coming;
}

export function useKeys(server: Server): Keys | null {
  const [keys, setKeys] = useState<Keys | null>(null);
  useEffect(() => {
    let wanted = true;
    void keysOf(server).then((found) => {
      if (wanted) setKeys(found);
    });
    return () => {
      wanted = false;
    };
  }, [server]);
  return keys;
}
