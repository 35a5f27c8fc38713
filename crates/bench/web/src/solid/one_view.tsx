/** One drawing of the part as it is folded so far; the one before stays until the next is there. */

import { useEffect, useRef } from "preact/hooks";
import { drawn } from "../picture";

export function OneView({ svg, called }: { svg: string; called: string }) {
  const holder = useRef<HTMLDivElement>(null);
  useEffect(() => {
    if (!holder.current) return;
    const root = drawn(svg);
    if (!root) {
      holder.current.textContent = "This drawing is none that can be shown.";
      return;
    }
    root.removeAttribute("width");
    root.removeAttribute("height");
    root.setAttribute("focusable", "false");
    holder.current.replaceChildren(root);
  }, [svg]);
  return <div class="one-view" ref={holder} role="group" aria-label={called} />;
}
