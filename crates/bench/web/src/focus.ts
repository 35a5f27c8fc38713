/**
 * Keeps the focus where the person is: what had it may be taken out of the page by what was pressed, or wait until an act is
 * done. It then goes back to it, or to what is nearest to where it was.
 */

const REACHED = 'input:not([disabled]), select, textarea, button:not([disabled]), a[href], summary, [tabindex="-1"]';

function waits(element: Element): boolean {
  return element.matches(":disabled");
}

/** Starts keeping it; what comes back ends that. */
export function keepFocus(page: Document): () => void {
  /** What had the focus last, and what it stands in, from the inside out; none when the person left it. */
  let path: HTMLElement[] = [];

  const came = (event: FocusEvent) => {
    path = [];
    for (let up = event.target as HTMLElement | null; up && up !== page.body; up = up.parentElement) path.push(up);
  };
  const went = () => {
    setTimeout(() => {
      const [last] = path;
      if (page.activeElement === page.body && last?.isConnected && !waits(last)) path = [];
    });
  };
  const back = () => {
    const [last, ...round] = path;
    if (!last || (page.activeElement && page.activeElement !== page.body)) return;
    if (last.isConnected) {
      if (!waits(last)) last.focus({ preventScroll: true });
      return;
    }
    for (const near of round) {
      // Where all of it went, the person begins anew: the first thing of the page is not near to anything.
      if (near.parentElement === page.body) return;
      if (!near.isConnected) continue;
      const next = near.matches(REACHED) ? near : near.querySelector<HTMLElement>(REACHED);
      if (!next) continue;
      next.focus({ preventScroll: true });
      return;
    }
  };

  const changes = new MutationObserver(back);
  changes.observe(page.body, { childList: true, subtree: true, attributes: true, attributeFilter: ["disabled"] });
  page.addEventListener("focusin", came);
  page.addEventListener("focusout", went);
  return () => {
    changes.disconnect();
    page.removeEventListener("focusin", came);
    page.removeEventListener("focusout", went);
  };
}
