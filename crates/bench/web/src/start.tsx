/** The bench without a job: how one is started, and where it is written. With a job, the sheet. */

import { useCallback, useEffect, useRef, useState } from "preact/hooks";
import { troubleOf } from "./desk";
import { Press } from "./press";
import { ASK_AGAIN_MS, type Server } from "./server";
import { Sheet } from "./sheet";
import { type Answers, asking, type Demo, start, type Started, started } from "./start/asking";
import { Questions } from "./start/questions";
import { SharedDesign } from "./start/shared";
import { TextInput } from "./text_input";
import "./start/start.css";

const WAYS = [
  { way: "nothing", called: "From nothing", says: "Questions in plain words; the five about care come first." },
  { way: "demo", called: "From a demo job", says: "A whole job to look at and to change." },
  { way: "shared", called: "From a shared design", says: "The file design.toml that another person drew, with a fit of your own." },
] as const;
type Way = (typeof WAYS)[number]["way"];

function Demos({ demos, choose }: { demos: Demo[]; choose: (demo: string) => void }) {
  return (
    <ul class="answered">
      {demos.map((demo) => (
        <li key={demo.name}>
          <p>
            <strong>{demo.title}</strong> {demo.about}
          </p>
          <Press onPress={() => choose(demo.name)}>Start from {demo.name}</Press>
        </li>
      ))}
    </ul>
  );
}

export function Start({ server, place, opened }: { server: Server; place: Started; opened: () => void }) {
  const [way, setWay] = useState<Way | null>(null);
  const [name, setName] = useState("");
  const [trouble, setTrouble] = useState("");
  // What was answered on one way is still there when it is come back to.
  const [answers, setAnswers] = useState<Answers>({});
  const [care, setCare] = useState<Answers>({});
  const [design, setDesign] = useState("");
  const heading = useRef<HTMLHeadingElement>(null);
  const field = useRef<HTMLInputElement>(null);
  const moved = useRef(false);
  const ask = useCallback((answers: Answers) => asking(server, "nothing", answers), [server]);
  useEffect(() => {
    // The first look at the page stays where it is.
    if (moved.current) heading.current?.focus();
  }, [way]);
  const go = (to: Way | null) => {
    moved.current = true;
    setTrouble("");
    setWay(to);
  };
  const begin = (way: Way, what: object) => {
    if (place.named && name.trim() === "") {
      setTrouble("Type a name for the job's folder first.");
      field.current?.focus();
      return;
    }
    setTrouble("");
    start(server, way, place.named ? { ...what, name } : what)
      .then(opened)
      .catch((error: unknown) => setTrouble(troubleOf(error).says));
  };
  const shown = WAYS.find((choice) => choice.way === way);
  return (
    <main
      onKeyDown={(event) => {
        if (event.key === "Escape" && way) go(null);
      }}
    >
      <header class="top">
        <h1>Start a job</h1>
        <p>{place.says}</p>
        {place.named && (
          <div class="field">
            <TextInput label="Name of the folder" value={name} type={setName} input={field} says="" />
          </div>
        )}
      </header>
      {trouble && (
        <p class="trouble" role="alert">
          {trouble}
        </p>
      )}
      <section aria-labelledby="way">
        <h2 id="way" ref={heading} tabIndex={-1}>
          {shown ? shown.called : "How do you start?"}
        </h2>
        {!shown &&
          WAYS.map((choice) => (
            <p key={choice.way} class="way">
              <Press onPress={() => go(choice.way)}>{choice.called}</Press>{" "}
              <span>{choice.says}</span>
            </p>
          ))}
        {shown && (
          <p>
            <Press plain onPress={() => go(null)}>
              Start another way
            </Press>
          </p>
        )}
        {way === "nothing" && (
          <Questions server={server} ask={ask} answers={answers} set={setAnswers} begin="Start the job" start={() => begin("nothing", { answers })} />
        )}
        {way === "demo" && <Demos demos={place.demos} choose={(demo) => begin("demo", { demo })} />}
        {way === "shared" && (
          <SharedDesign
            server={server}
            text={design}
            type={setDesign}
            answers={care}
            set={setCare}
            start={() => begin("shared", { design, answers: care })}
          />
        )}
      </section>
    </main>
  );
}

export function Bench({ server }: { server: Server }) {
  const [place, setPlace] = useState<Started | null>(null);
  const [says, setSays] = useState("");
  useEffect(() => {
    let wanted = true;
    const ask = () => {
      started(server)
        .then((given) => wanted && setPlace(given))
        .catch((error: unknown) => {
          if (!wanted) return;
          setSays(troubleOf(error).says);
          setTimeout(ask, ASK_AGAIN_MS);
        });
    };
    ask();
    return () => {
      wanted = false;
    };
  }, [server]);
  if (!place) return <main>{says ? <p class="trouble" role="alert">{says}</p> : <p>The job is being read.</p>}</main>;
  if (place.open) return <Sheet server={server} />;
  return <Start server={server} place={place} opened={() => setPlace({ ...place, open: true })} />;
}
