/** What is out of sight is drawn anew when nothing else is to be done: what a person looks at comes first. */

import { Component, type ComponentChildren } from "preact";
import { whenIdle } from "./turns";

/** A page that is never idle draws it within this all the same, ms. */
const AT_LATEST_MS = 300;

export interface DeferredProps {
  /** It is looked at or worked in. */
  atOnce: boolean;
  draw: () => ComponentChildren;
}

/** Draws what `draw` gives: at once, or in its turn, and then as it is by that time. */
export class Deferred extends Component<DeferredProps> {
  private leave: (() => void) | null = null;

  override shouldComponentUpdate(next: DeferredProps): boolean {
    if (next.atOnce) return true;
    this.leave ??= whenIdle(() => {
      this.leave = null;
      this.forceUpdate();
    }, AT_LATEST_MS);
    return false;
  }

  override componentDidUpdate(): void {
    this.forget();
  }

  override componentWillUnmount(): void {
    this.forget();
  }

  override render({ draw }: DeferredProps): ComponentChildren {
    return draw();
  }

  private forget(): void {
    this.leave?.();
    this.leave = null;
  }
}
