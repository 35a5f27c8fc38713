/** A slow fold: it moves on by itself until it is stopped; where motion is to be reduced it goes a whole fold at a time. */

import { useCallback, useEffect, useRef, useState } from "preact/hooks";
import { lessMovement } from "../settings";
import { foldNext } from "./steps";

/** A fold takes this long, ms. */
const FOLD_MS = 2500;
/** A whole fold at a time stands this long, ms. */
const STANDS_MS = 1500;
/** A drawing is asked for no more often than this, ms. */
const DRAWN_MS = 250;

export interface Play {
  playing: boolean;
  start(): void;
  stop(): void;
}

/** `smooth`: something draws it as often as the screen does; else it goes in eighths of a fold. */
export function usePlay(folded: number, steps: number, smooth: boolean, set: (folded: number) => void): Play {
  const [playing, setPlaying] = useState(false);
  const at = useRef(folded);
  at.current = folded;
  const put = useRef(set);
  put.current = set;
  useEffect(() => {
    if (!playing) return;
    let wanted = true;
    const go = (to: number) => {
      at.current = to;
      put.current(to);
      if (to >= steps) setPlaying(false);
    };
    if (lessMovement()) {
      const timer = setInterval(() => go(foldNext(at.current, steps)), STANDS_MS);
      return () => clearInterval(timer);
    }
    if (!smooth) {
      const timer = setInterval(() => go(Math.min(steps, Math.floor(8 * at.current + 1e-6) / 8 + 0.125)), Math.max(DRAWN_MS, FOLD_MS / 8));
      return () => clearInterval(timer);
    }
    let last = performance.now();
    const frame = (now: number) => {
      if (!wanted) return;
      const to = Math.min(steps, at.current + (now - last) / FOLD_MS);
      last = now;
      go(to);
      if (to < steps) requestAnimationFrame(frame);
    };
    requestAnimationFrame(frame);
    return () => {
      wanted = false;
    };
  }, [playing, steps, smooth]);
  const start = useCallback(() => {
    if (at.current >= steps) put.current(0);
    if (steps > 0) setPlaying(true);
  }, [steps]);
  const stop = useCallback(() => setPlaying(false), []);
  return { playing, start, stop };
}
