/** Ask: what it is for, and who may depend on it. */

import { useEffect, useId, useState } from "preact/hooks";
import { type Desk, troubleOf } from "../desk";
import { Field } from "../field";
import { from, type SectionDef } from "../section";
import { type Started, started, type QuestionAsked } from "../start/asking";
import { at } from "../typed";
import type { Job, Typed } from "../types";
import "./ask.css";

/** The words of a choice, and what stands in the file for it. */
function choicesOf(question: QuestionAsked): { word: string; to: string | boolean }[] {
  return question.choices.map((word) => ({ word, to: word === "yes" ? true : word === "no" && question.choices.includes("yes") ? false : word }));
}

function Choice({ desk, question, value }: { desk: Desk; question: QuestionAsked; value: Typed | undefined }) {
  const name = useId();
  return (
    <fieldset class="choice care">
      <legend>{question.asks}</legend>
      {choicesOf(question).map(({ word, to }) => (
        <label key={word}>
          <input
            type="radio"
            name={name}
            checked={value === to}
            onChange={() => void desk.act("fit", [{ act: "set", at: ["care", question.key], to }], `${question.asks} ${word}`)}
          />
          {word}
        </label>
      ))}
    </fieldset>
  );
}

function Care({ desk, job }: { desk: Desk; job: Job }) {
  const [asked, setAsked] = useState<Started | string | null>(null);
  useEffect(() => {
    let wanted = true;
    started(desk.server)
      .then((given) => wanted && setAsked(given))
      .catch((error: unknown) => wanted && setAsked(troubleOf(error).says));
    return () => {
      wanted = false;
    };
  }, [desk.server]);
  if (asked === null) return null;
  if (typeof asked === "string") return <p role="status">The questions cannot be shown: {asked}</p>;
  const values = job.files.fit?.values;
  if (!values) return <p>This job has no fit, so nobody has answered for whom it is. Write one as fits/own.toml; see docs/files.md.</p>;
  return (
    <>
      <h3>What it is for</h3>
      {asked.care
        .filter((question) => question.choices.length === 0)
        .map((question) => (
          <Field
            key={question.key}
            desk={desk}
            file="fit"
            way={["care", question.key]}
            label={question.asks}
            value={String(at(values, ["care", question.key]) ?? "")}
          />
        ))}
      <h3>Five questions before geometry</h3>
      <p>Their answers are printed on page one. With some of them Gusset does not help, and says whom to ask.</p>
      {asked.care
        .filter((question) => question.choices.length > 0)
        .map((question) => (
          <Choice key={question.key} desk={desk} question={question} value={at(values, ["care", question.key])} />
        ))}
    </>
  );
}

export const ask: SectionDef = {
  id: "ask",
  title: "Ask",
  lead: "What is it for, and who may depend on it?",
  values: [
    from("design", "title", "What it is called"),
    from("design", "about", "What the design is for"),
    from("design", "revision", "Revision of the design"),
    from("design", "hand", "The hand it is drawn for"),
    from("fit", "title", "What this fit is called"),
    from("fit", "hand", "The hand of this fit"),
  ],
  own: [from("fit", "care", "The five questions")],
  body: Care,
};
