/** The four answers, always in sight, told apart by word and shape; what each says stands at the head of its section. */

import { type Answer, isSummary, isWorking, type Job, type Question, QUESTIONS } from "./types";

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

/** What is known of the answers. */
type Known = Pick<Job, "answers" | "working">;

export function Answers({ job }: { job: Known }) {
  const { answers } = job;
  if (!isSummary(answers)) return <p class="answers no-answers">The job is not worked out: see below.</p>;
  return (
    <nav class="answers" aria-label="The four answers">
      <ul>
        {QUESTIONS.map((question) => {
          const { answer } = answers.verdicts[question];
          const working = isWorking(job, question);
          return (
            <li key={question} class={`answer ${answer.replace(" ", "-")}${working ? " before" : ""}`}>
              <a href={`#${WHERE[question]}`}>
                <Shape answer={answer} />
                <span>
                  {SHORT[question]}: {working ? <>working; was {answer}</> : <strong>{answer}</strong>}
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
export function Verdict({ job, question }: { job: Known; question: Question }) {
  const { answers } = job;
  if (!isSummary(answers)) return null;
  const { answer, says } = answers.verdicts[question];
  const working = isWorking(job, question);
  return (
    <p class={`verdict ${answer.replace(" ", "-")}${working ? " before" : ""}`}>
      <Shape answer={answer} />
      <span>
        {ASKED[question]} {working ? <>Working. Before the last change: {answer}</> : <strong>{answer}</strong>}. {says}
      </span>
    </p>
  );
}
