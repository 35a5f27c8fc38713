/** The key of this run: it comes behind the `#` of the address, is kept for this tab alone, and is taken out of the address. */

const KEPT = "gusset-key";
const KEY = /^#([0-9a-f]{48})$/;

/** What of the window it takes. */
export interface Opened {
  location: Pick<Location, "hash" | "pathname" | "search">;
  history: Pick<History, "replaceState">;
  sessionStorage: Pick<Storage, "getItem" | "setItem">;
}

/** The key: of the address, else the one that was kept. A link into the page takes the place of the first, so it is kept. */
export function keyOf(opened: Opened): string {
  const said = KEY.exec(opened.location.hash)?.[1];
  try {
    if (said === undefined) return opened.sessionStorage.getItem(KEPT) ?? "";
    opened.sessionStorage.setItem(KEPT, said);
  } catch {
    // A browser that keeps nothing: the address is left as it is, and a reload finds the key there.
    return said ?? "";
  }
  opened.history.replaceState(null, "", opened.location.pathname + opened.location.search);
  return said;
}
