/** The key tables, asked for once; nothing while they are on their way. A server that was silent is asked again. */

import { useEffect, useState } from "preact/hooks";
import { ASK_AGAIN_MS, type Server } from "../server";
import type { Keys } from "./keys";

const asked = new WeakMap<Server, Promise<Keys | null>>();

function keysOf(server: Server): Promise<Keys | null> {
  const known = asked.get(server);
  if (known) return known;
  const coming = server.keys().catch(() => {
    // Asked again by whoever waits for them.
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
    let later: ReturnType<typeof setTimeout> | undefined;
    const look = () => {
      void keysOf(server).then((found) => {
        if (!wanted) return;
        if (found) setKeys(found);
        else later = setTimeout(look, ASK_AGAIN_MS);
      });
    };
    look();
    return () => {
      wanted = false;
      clearTimeout(later);
    };
  }, [server]);
  return keys;
}
