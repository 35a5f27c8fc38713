/** Ask: what it is for, and who may depend on it. */

import { useAsked } from "../asked";
import type { Desk } from "../desk";
import { Field } from "../field";
import { Choice } from "../forms/choice";
import { from, type SectionDef } from "../section";
import { type QuestionAsked, started } from "../start/asking";
import { at } from "../typed";
import type { Job, Typed } from "../types";
import { Fits } from "./fits";

/** The words of a choice, and what stands in the file for it. */
function choicesOf(question: QuestionAsked): { word: string; to: string | boolean }[] {
  return question.choices.map((word) => ({ word, to: word === "yes" ? true : word === "no" && question.choices.includes("yes") ? false : word }));
}

function Asked({ desk, question, value }: { desk: Desk; question: QuestionAsked; value: Typed | undefined }) {
  const choices = choicesOf(question);
  const choose = (chosen: string) => {
    const choice = choices.find(({ word }) => word === chosen);
    if (choice) void desk.act("fit", [{ act: "set", at: ["care", question.key], to: choice.to }], `${question.asks} ${chosen}`);
  };
  return (
    <Choice
      label={question.asks}
      options={choices.map(({ word }) => ({ value: word, says: word }))}
      value={choices.find(({ to }) => to === value)?.word ?? null}
      choose={choose}
      keep
      busy={desk.busy}
    />
  );
}

function Care({ desk, job }: { desk: Desk; job: Job }) {
  const asked = useAsked("care", () => started(desk.server));
  const values = job.files.fit?.values;
  if (!asked || !values) return null;
  if (!asked.given) return <p role="status">The questions cannot be shown: {asked.failed}</p>;
  const { care } = asked.given;
  return (
    <>
      <h3>What it is for</h3>
      {care
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
      {care
        .filter((question) => question.choices.length > 0)
        .map((question) => (
          <Asked key={question.key} desk={desk} question={question} value={at(values, ["care", question.key])} />
        ))}
    </>
  );
}

function Body(props: { desk: Desk; job: Job }) {
  return (
    <>
      <Fits {...props} />
      <Care {...props} />
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
  body: Body,
};
