/** How far the part is folded: 0 is flat, 2 is two folds made, 1.5 is the second half made. */

/** The step under way, from 1 (0: flat), and how much of it is made. */
export function stepAt(folded: number): { step: number; share: number } {
  const step = Math.ceil(folded - 1e-9);
  return step <= 0 ? { step: 0, share: 0 } : { step, share: Math.min(1, folded - (step - 1)) };
}

/** One fold more: to the end of the one under way. */
export function foldNext(folded: number, steps: number): number {
  return Math.min(steps, Math.floor(folded + 1e-9) + 1);
}

/** One fold less: back to before the one under way. */
export function unfold(folded: number): number {
  return Math.max(0, Math.ceil(folded - 1e-9) - 1);
}

/** The two frames that it lies between, and how far from the first to the second. */
export function framesAt(folded: number, steps: number, frames: number): { from: number; to: number; share: number } {
  const last = Math.max(0, frames - 1);
  const at = steps === 0 ? 0 : Math.min(last, Math.max(0, (folded / steps) * last));
  const from = Math.min(Math.floor(at + 1e-9), last);
  return { from, to: Math.min(from + 1, last), share: Math.max(0, at - from) };
}

/** "All folded", "Flat", "Fold 2 of 3 made". */
export function foldedInWords(folded: number, steps: number): string {
  if (steps === 0) return "Nothing to fold.";
  const { step, share } = stepAt(folded);
  if (step === 0) return `Flat: none of ${steps} folds made.`;
  if (step === steps && share >= 1) return `All folded: ${steps} of ${steps}.`;
  return share >= 1 ? `Fold ${step} of ${steps} made.` : `Fold ${step} of ${steps} made to ${Math.round(100 * share)} %.`;
}
