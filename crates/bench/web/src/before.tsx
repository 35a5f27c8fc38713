/** What is from before the last change, while the new is worked out: it stands, and says so. */

import type { ComponentChildren } from "preact";

export function Before({ working, children }: { working: boolean; children: ComponentChildren }) {
  return (
    <div class={working ? "before" : undefined}>
      {working && <p class="working">Working. These are from before the last change.</p>}
      {children}
    </div>
  );
}
