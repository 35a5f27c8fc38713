/** What the program has to say, the gravest first. */

import { type Answers, isSummary } from "./types";

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
  return (
    <section aria-labelledby="says">
      <h2 id="says">What it has to say</h2>
      {answers.findings.length === 0 && <p>Nothing stands against it.</p>}
      <ul class="findings">
        {answers.findings.map((finding) => (
          <li class={finding.level} key={`${finding.code}:${finding.about}:${finding.says}`}>
            <p>
              <strong>{WORDS[finding.level]}</strong> {finding.says}
            </p>
            {fixes(finding.fix).length > 0 && <p>Do: {fixes(finding.fix).join("; or ")}</p>}
          </li>
        ))}
      </ul>
    </section>
  );
}
