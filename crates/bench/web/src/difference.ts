/** What an act did to the answers, in words. */

import { type Answers, isSummary, QUESTIONS } from "./types";

const ASKS = { fit: "Fit", cut: "Cut", bend: "Bend", hold: "Hold" } as const;

export function difference(before: Answers, after: Answers): string {
  if (!isSummary(after)) return "The job cannot be worked out as it stands.";
  if (!isSummary(before)) return "The job can be worked out again.";
  const words: string[] = [];
  for (const question of QUESTIONS) {
    const [was, is] = [before.verdicts[question], after.verdicts[question]];
    if (was.answer !== is.answer) words.push(`${ASKS[question]}: ${was.answer}, now ${is.answer}`);
    else if (was.says !== is.says) words.push(`${ASKS[question]}: still ${is.answer}, by another number`);
  }
  const [was, is] = [before.folded?.mass_kg, after.folded?.mass_kg];
  if (was !== undefined && is !== undefined && was.toFixed(3) !== is.toFixed(3)) {
    words.push(`mass ${was.toFixed(3)} kg, now ${is.toFixed(3)} kg`);
  }
  return words.length > 0 ? `${words.join("; ")}.` : "The answers are as they were.";
}
