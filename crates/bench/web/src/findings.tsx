/** What the program has to say, the gravest first. */

import { Fold } from "./fold";
import { type Answers, type Finding, isSummary, type Question, QUESTIONS } from "./types";

const WORDS = { stop: "Stop", care: "Care", note: "Note" } as const;

function fixes(fix: string | string[] | null | undefined): string[] {
  if (!fix) return [];
  return Array.isArray(fix) ? fix : [fix];
}

export function Findings({ answers }: { answers: Answers }) {
  if ("refused" in answers) {
    return (
      <section aria-labelledby="says">
        <h2 id="says">Gusset does not help with this part</h2>
        <p>{answers.refused.why}.</p>
        <p>Ask {answers.refused.ask}.</p>
      </section>
    );
  }
  if (!isSummary(answers)) {
    return (
      <section aria-labelledby="says">
        <h2 id="says">To be put right before it can be worked out</h2>
        <ul class="findings">
          {answers.wrong.map((wrong) => (
            <li class="stop" key={`${wrong.file}:${wrong.line}:${wrong.says}`}>
              <p>
                <strong>Stop</strong> {wrong.says}
                {wrong.expected ? `; expected ${wrong.expected}` : ""}
              </p>
              {fixes(wrong.fix).map((fix) => (
                <p key={fix}>Do: {fix}</p>
              ))}
              <p class="place">
                {wrong.file}, line {wrong.line}
              </p>
            </li>
          ))}
        </ul>
      </section>
    );
  }
  const stops = answers.findings.filter((finding) => finding.level === "stop");
  const others = answers.findings.filter((finding) => !finding.question && finding.level !== "stop");
  return (
    <section aria-labelledby="says">
      <h2 id="says">What it has to say</h2>
      <List findings={stops} />
      <Mixed findings={others} />
      <p>{elsewhere(answers.findings)}</p>
    </section>
  );
}

function List({ findings }: { findings: Finding[] }) {
  if (findings.length === 0) return null;
  return (
    <ul class="findings">
      {findings.map((finding) => (
        <li class={finding.level} key={`${finding.code}:${finding.about}:${finding.says}`}>
          <p>
            <strong>{WORDS[finding.level]}</strong> {finding.says}
          </p>
          {fixes(finding.fix).length > 0 && <p>Do: {fixes(finding.fix).join("; or ")}</p>}
        </li>
      ))}
    </ul>
  );
}

/** What is to be looked at, and folded up what is good to know. */
function Mixed({ findings }: { findings: Finding[] }) {
  const notes = findings.filter((finding) => finding.level === "note");
  return (
    <>
      <List findings={findings.filter((finding) => finding.level !== "note")} />
      {notes.length > 0 && (
        <Fold class="notes" says={<>Good to know ({notes.length})</>}>
          <List findings={notes} />
        </Fold>
      )}
    </>
  );
}

/** What a section's question has to say of itself. */
export function FindingsOf({ answers, question }: { answers: Answers; question: Question }) {
  if (!isSummary(answers)) return null;
  return <Mixed findings={answers.findings.filter((finding) => finding.question === question)} />;
}

const SECTION_OF = { fit: "Fold and fit", cut: "Cut", bend: "Bend", hold: "Hold" } as const;

/** How many things to look at stand in which section. */
export function elsewhere(findings: Finding[]): string {
  const counts = QUESTIONS.flatMap((question) => {
    const cares = findings.filter((finding) => finding.question === question && finding.level === "care").length;
    return cares > 0 ? [`${cares} under ${SECTION_OF[question]}`] : [];
  });
  if (counts.length > 0) return `To look at before going on: ${counts.join(", ")}.`;
  return findings.some((finding) => finding.level !== "note") ? "" : "Nothing stands against it.";
}
