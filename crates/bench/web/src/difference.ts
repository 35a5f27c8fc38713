/** What an act did to the answers, in words. */

import { isSummary, isWorking, type Job, QUESTIONS } from "./types";

const ASKS = { fit: "Fit", cut: "Cut", bend: "Bend", hold: "Hold" } as const;

/** What of a job is compared. */
export type Compared = Pick<Job, "answers" | "said" | "working">;

export function difference(from: Compared, to: Compared): string {
  const [before, after] = [from.answers, to.answers];
  if (!isSummary(after)) return "The job cannot be worked out as it stands.";
  if (!isSummary(before)) return "The job can be worked out again.";
  const words: string[] = [];
  const working = QUESTIONS.filter((question) => isWorking(to, question));
  for (const question of QUESTIONS) {
    // What is shown of it is from before.
    if (working.includes(question)) continue;
    const [was, is] = [before.verdicts[question], after.verdicts[question]];
    if (was.answer !== is.answer) words.push(`${ASKS[question]}: ${was.answer}, now ${is.answer}`);
    else if (was.says !== is.says) words.push(`${ASKS[question]}: still ${is.answer}, by another number`);
  }
  const [was, is] = [from.said?.mass, to.said?.mass];
  if (was && is && was !== is) words.push(`mass ${was}, now ${is}`);
  const still = working.map((question) => ` ${ASKS[question]} is being worked out.`).join("");
  if (words.length > 0) return `${words.join("; ")}.${still}`;
  return working.length > 0 ? `The other answers are as they were.${still}` : "The answers are as they were.";
}
