/** One question after another, each with its echo; an answer can be changed until the job is started. */

import { useEffect, useId, useRef, useState } from "preact/hooks";
import { troubleOf, useOnce } from "../desk";
import { Press } from "../press";
import type { Echo, Server } from "../server";
import { TextInput } from "../text_input";
import { type Answers, type Asking, type QuestionAsked, understood } from "./asking";

interface QuestionProps {
  server: Server;
  answers: Answers;
  question: QuestionAsked;
  /** Why the last answer could not be used. */
  not: string | undefined;
  /** What was answered before, to be changed. */
  was: string;
  answer: (text: string) => void;
}

function Typing({ server, answers, question, not, was, answer }: QuestionProps) {
  const [text, setText] = useState(was);
  const [echo, setEcho] = useState<Echo>({});
  const input = useRef<HTMLInputElement>(null);
  useEffect(() => input.current?.focus(), []);
  useEffect(() => {
    if (text.trim() === "") {
      setEcho({});
      return;
    }
    const stop = new AbortController();
    understood(server, answers, question.key, text, stop.signal)
      .then((given) => {
        if (!stop.signal.aborted) setEcho(given);
      })
      // The answer itself says it when the server is silent.
      .catch(() => undefined);
    return () => stop.abort();
  }, [server, answers, question.key, text]);
  const next = () => answer(text);
  const key = (event: KeyboardEvent) => {
    if (event.key === "Escape" && text !== was) {
      event.stopPropagation();
      setText(was);
    }
    if (event.key === "Enter") {
      event.preventDefault();
      next();
    }
  };
  const says = (
    <>
      {not && text === was ? `${not} ` : echo.not_understood}
      {text.trim() === "" && question.usual !== "" && `Left empty, it is ${question.usual}. `}
      {echo.understood && `Understood: ${echo.understood}. `}
    </>
  );
  return (
    <div class="field">
      <TextInput label={question.asks} value={text} type={setText} press={key} input={input} says={says}>
        <Press onPress={next}>{text.trim() === "" && question.usual !== "" ? `Take ${question.usual}` : "Next"}</Press>
      </TextInput>
    </div>
  );
}

function Choosing({ question, not, answer }: QuestionProps) {
  const asks = useRef<HTMLHeadingElement>(null);
  useEffect(() => asks.current?.focus(), []);
  const id = useId();
  return (
    <div class="field" role="group" aria-labelledby={id}>
      <h3 id={id} ref={asks} tabIndex={-1}>
        {question.asks}
      </h3>
      {not && <p role="alert">{not}</p>}
      <div class="back">
        {question.choices.map((word) => (
          <Press key={word} plain={word !== question.usual} onPress={() => answer(word)}>
            {word}
            {word === question.usual ? " (usual)" : ""}
          </Press>
        ))}
      </div>
    </div>
  );
}

interface QuestionsProps {
  server: Server;
  /** What is asked next after these answers; another one begins anew. */
  ask: (answers: Answers) => Promise<Asking>;
  answers: Answers;
  set: (change: (before: Answers) => Answers) => void;
  /** What is pressed when all are answered, and what it does. */
  begin: string;
  start: () => void;
}

export function Questions({ server, ask, answers, set, begin, start }: QuestionsProps) {
  /** Everything that was ever answered, also what is answered anew. */
  const was = useRef<Answers>(answers);
  const [told, setTold] = useState<Asking | null>(null);
  const [says, setSays] = useState("");
  const [round, setRound] = useState(0);
  const done = useRef<HTMLButtonElement>(null);
  const refused = useRef<HTMLHeadingElement>(null);
  useEffect(() => {
    let wanted = true;
    ask(answers)
      .then((given) => {
        if (!wanted) return;
        setTold(given);
        setRound((before) => before + 1);
        const last = given.answered.at(-1);
        setSays(last && !given.not_understood ? `${last.asks} ${last.understood ?? last.answer}.` : (given.not_understood ?? ""));
      })
      .catch((error: unknown) => wanted && setSays(troubleOf(error).says));
    return () => {
      wanted = false;
    };
  }, [ask, answers]);
  useEffect(() => {
    if (told?.done) done.current?.focus();
    if (told?.refused) refused.current?.focus();
  }, [told]);
  // One guard for all questions: the next one stands where the last was pressed.
  const pressed = useRef<[string, string] | null>(null);
  const keep = useOnce(() => {
    const now = pressed.current;
    if (!now) return;
    was.current = { ...was.current, [now[0]]: now[1] };
    set((before) => ({ ...before, [now[0]]: now[1] }));
  });
  const answer = (key: string) => (text: string) => {
    pressed.current = [key, text];
    keep();
  };
  const change = (key: string) => set(({ [key]: _, ...rest }) => rest);
  if (!told) return <p role="status">{says || "The questions are being read."}</p>;
  const { next } = told;
  const props = next && { server, answers, question: next, not: told.not_understood, was: was.current[next.key] ?? "", answer: answer(next.key) };
  return (
    <div class="questions">
      <p class="told" role="status">
        {says}
      </p>
      {next && props && (next.choices.length > 0 ? <Choosing key={round} {...props} /> : <Typing key={round} {...props} />)}
      {told.refused && (
        <div class="trouble">
          <h3 ref={refused} tabIndex={-1}>
            Gusset does not help with this part
          </h3>
          <p>{told.refused.why}.</p>
          <p>Ask {told.refused.ask}.</p>
          <p>No switch turns this off. Nothing is written.</p>
        </div>
      )}
      {told.done && (
        <Press button={done} onPress={start}>
          {begin}
        </Press>
      )}
      {told.answered.length > 0 && (
        <>
          <h3>Answered</h3>
          <ul class="answered">
            {told.answered.map((row) => (
              <li key={row.key}>
                <p>
                  {row.asks} <strong>{row.answer}</strong>
                  {row.understood && row.understood !== row.answer ? ` = ${row.understood}` : ""}
                </p>
                <Press plain says={`Change: ${row.asks}`} onPress={() => change(row.key)}>
                  Change
                </Press>
              </li>
            ))}
          </ul>
        </>
      )}
    </div>
  );
}
