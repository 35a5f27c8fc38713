/** The fits of the job: which is open, another one opened, another one begun with its questions. */

import { useCallback, useRef, useState } from "preact/hooks";
import type { Desk } from "../desk";
import { Fold } from "../fold";
import { Press } from "../press";
import { type Answers, fitAsking } from "../start/asking";
import { Questions } from "../start/questions";
import { at } from "../typed";
import type { Job } from "../types";

/** What is most often the same in another fit; it is shown with what was answered, and can be changed there. */
function sameUse(job: Job): Answers {
  const care = ["purpose", "onto"].map((key) => [key, at(job.files.fit?.values, ["care", key])] as const);
  return Object.fromEntries(care.filter((said): said is [string, string] => typeof said[1] === "string" && said[1] !== ""));
}

type Kind = "like" | "empty";

function Begin({ desk, job, opened }: { desk: Desk; job: Job; opened: () => void }) {
  const { server } = desk;
  const [kind, setKind] = useState<Kind | null>(null);
  const [answers, setAnswers] = useState<Answers>({});
  const first = useRef<HTMLButtonElement>(null);
  const like = kind === "like";
  const ask = useCallback((answers: Answers) => fitAsking(server, answers, like), [server, like]);
  const go = (to: Kind) => {
    setAnswers((before) => (to === "like" ? { ...sameUse(job), ...before } : before));
    setKind(to);
  };
  const leave = () => {
    setKind(null);
    requestAnimationFrame(() => first.current?.focus());
  };
  const begin = () => {
    void desk
      .send((base) => server.change("/api/fit/begin", { answers, like, base }), "Another fit begun and opened")
      .then((done) => {
        if (!done) return;
        setKind(null);
        setAnswers({});
        opened();
      });
  };
  if (!kind) {
    return (
      <>
        {job.fit && (
          <p class="way">
            <Press button={first} onPress={() => go("like")}>
              Like {job.fit}
            </Press>{" "}
            <span>
              Where it is fastened, what is in its way and what it carries are taken over, to be looked at again. What was measured of the body is not.
            </span>
          </p>
        )}
        <p class="way">
          <Press button={job.fit ? undefined : first} onPress={() => go("empty")}>
            Empty
          </Press>{" "}
          <span>Nothing is taken over: for another piece of equipment.</span>
        </p>
      </>
    );
  }
  return (
    <div
      onKeyDown={(event) => {
        if (event.key === "Escape") leave();
      }}
    >
      <p>
        <Press plain onPress={leave}>
          Begin it another way
        </Press>
      </p>
      <Questions server={server} ask={ask} answers={answers} set={setAnswers} begin="Begin this fit" start={begin} />
    </div>
  );
}

export function Fits({ desk, job }: { desk: Desk; job: Job }) {
  const heading = useRef<HTMLHeadingElement>(null);
  const opened = () => requestAnimationFrame(() => heading.current?.focus());
  const open = (name: string) => {
    void desk
      .send((base) => desk.server.change("/api/fit/open", { name, base }), `Fit ${name} opened`)
      .then((done) => done && opened());
  };
  const others = (job.fits ?? []).filter((name) => name !== job.fit);
  const title = at(job.files.fit?.values, ["title"]);
  return (
    <>
      <h3 ref={heading} tabIndex={-1}>
        {job.fit ? `The fit that is open: ${job.fit}` : "No fit yet"}
      </h3>
      {job.fit ? (
        <p>
          {typeof title === "string" ? `${title}. ` : ""}A design is shared; a fit is of one body and one piece of equipment, and is not.
        </p>
      ) : (
        <p>Nobody has said yet for whom this is, where it is fastened and what it carries. Begin a fit, and say it.</p>
      )}
      {others.length > 0 && (
        <ul class="answered">
          {others.map((name) => (
            <li key={name}>
              <Press plain waits={desk.busy} onPress={() => open(name)}>
                Open the fit {name}
              </Press>
            </li>
          ))}
        </ul>
      )}
      {job.fit ? (
        <Fold class="values" says="Begin another fit">
          <Begin desk={desk} job={job} opened={opened} />
        </Fold>
      ) : (
        <Begin desk={desk} job={job} opened={opened} />
      )}
    </>
  );
}
