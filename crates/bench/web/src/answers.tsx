/** The four answers, always in sight, told apart by word and shape; what each says stands at the head of its section. */

import { type Answer, type Answers as All, isSummary, type Question, QUESTIONS } from "./types";

const ASKED = {
  fit: "Does it fit?",
  cut: "Can it be cut?",
  bend: "Can it be bent?",
  hold: "Will it hold?",
} as const;

/** The one word of each that is room for in sight of everything. */
const SHORT = { fit: "Fit", cut: "Cut", bend: "Bend", hold: "Hold" } as const;

const WHERE = { fit: "fold", cut: "cut", bend: "bend", hold: "hold" } as const;

/** Shapes, not colours alone: a tick, a bar, a cross, an open ring. */
const SHAPES: Record<Answer, string> = {
  yes: "M4 13l5 5L20 6",
  care: "M12 4v11M12 19v1",
  no: "M5 5l14 14M19 5L5 19",
  "not checked": "M12 4a8 8 0 1 1-.01 0z",
};

function Shape({ answer }: { answer: Answer }) {
  return (
    <svg viewBox="0 0 24 24" aria-hidden="true" focusable="false">
      <path d={SHAPES[answer]} />
    </svg>
  );
}

export function Answers({ answers }: { answers: All }) {
  if (!isSummary(answers)) return <p class="answers no-answers">The job is not worked out: see below.</p>;
  return (
    <nav class="answers" aria-label="The four answers">
      <ul>
        {QUESTIONS.map((question) => {
          const { answer } = answers.verdicts[question];
          return (
            <li key={question} class={`answer ${answer.replace(" ", "-")}`}>
              <a href={`#${WHERE[question]}`}>
                <Shape answer={answer} />
                <span>
                  {SHORT[question]}: <strong>{answer}</strong>
                </span>
              </a>
            </li>
          );
        })}
      </ul>
    </nav>
  );
}

/** One answer with its whole sentence. */
export function Verdict({ answers, question }: { answers: All; question: Question }) {
  if (!isSummary(answers)) return null;
  const { answer, says } = answers.verdicts[question];
  return (
    <p class={`verdict ${answer.replace(" ", "-")}`}>
      <Shape answer={answer} />
      <span>
        {ASKED[question]} <strong>{answer}</strong>. {says}
      </span>
    </p>
  );
}
