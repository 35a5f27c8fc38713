/** The four answers, always in sight, told apart by word and shape. */

import { type Answer, type Answers as All, isSummary, QUESTIONS } from "./types";

const ASKED = {
  fit: "Does it fit?",
  cut: "Can it be cut?",
  bend: "Can it be bent?",
  hold: "Will it hold?",
} as const;

const WHERE = { fit: "fold", cut: "cut", bend: "bend", hold: "hold" } as const;

/** Shapes, not colours alone: a tick, a bar, a cross, an open ring. */
const SHAPES: Record<Answer, string> = {
  yes: "M4 13l5 5L20 6",
  care: "M12 4v11M12 19v1",
  no: "M5 5l14 14M19 5L5 19",
  "not checked": "M12 4a8 8 0 1 1-.01 0z",
};

export function Answers({ answers }: { answers: All }) {
  if (!isSummary(answers)) return <p class="no-answers">The job is not worked out: see below.</p>;
  return (
    <ul class="answers" aria-label="The four answers">
      {QUESTIONS.map((question) => {
        const verdict = answers.verdicts[question];
        return (
          <li key={question} class={`answer ${verdict.answer.replace(" ", "-")}`}>
            <a href={`#${WHERE[question]}`}>
              <span class="asked">{ASKED[question]}</span>
              <span class="said">
                <svg viewBox="0 0 24 24" aria-hidden="true" focusable="false">
                  <path d={SHAPES[verdict.answer]} />
                </svg>
                {verdict.answer}
              </span>
              <span class="by">{verdict.says}</span>
            </a>
          </li>
        );
      })}
    </ul>
  );
}
