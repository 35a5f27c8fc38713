/** A load more, from the kinds in everyday words with what is usual of each. */

import { useEffect, useId, useState } from "preact/hooks";
import { useAsked } from "../asked";
import type { Desk } from "../desk";
import { Fold } from "../fold";
import { Press } from "../press";
import type { Echo } from "../server";
import { asKind, loadAct, missing, type TypedLoad, usualLoad, WAYS } from "../solid/load_act";
import type { LoadKind } from "../solid/told";
import { TextInput } from "../text_input";
import { at, rowsOf } from "../typed";
import type { Job } from "../types";

function Sized({ desk, kind, text, label, put }: { desk: Desk; kind: string; text: string; label: string; put: (text: string) => void }) {
  const [heard, setHeard] = useState<{ of: string; echo: Echo } | null>(null);
  useEffect(() => {
    if (text.trim() === "") return;
    const stop = new AbortController();
    desk.server
      .loadUnderstood(kind, text, stop.signal)
      .then((echo) => {
        if (!stop.signal.aborted) setHeard({ of: `${kind} ${text}`, echo });
      })
      .catch(() => {});
    return () => stop.abort();
  }, [desk.server, kind, text]);
  const echo = heard?.of === `${kind} ${text}` ? heard.echo : null;
  return (
    <div class="field">
      <TextInput label={label} value={text} type={put} says={echo?.understood ? `Understood: ${echo.understood}.` : echo?.not_understood} />
    </div>
  );
}

function Chosen({ label, value, options, put }: { label: string; value: string; options: [string, string][]; put: (value: string) => void }) {
  const id = useId();
  return (
    <>
      <label for={id}>{label}</label>
      <select id={id} value={value} onChange={(event) => put(event.currentTarget.value)}>
        {options.map(([value, words]) => (
          <option key={value} value={value}>
            {words}
          </option>
        ))}
      </select>
    </>
  );
}

function Form({ desk, job, kinds }: { desk: Desk; job: Job; kinds: LoadKind[] }) {
  const fit = job.files.fit?.values ?? null;
  const taken = rowsOf(at(fit, ["loads"])).map(([name]) => name);
  const holes = rowsOf(at(job.files.design?.values ?? null, ["holes"])).map(([name]) => name);
  const support = at(fit, ["support"]) !== undefined;
  const inch = at(job.files.design?.values ?? null, ["units"]) === "in";
  const places: [string, string][] = [
    ...(support ? ([["support", "the support"]] as [string, string][]) : []),
    ...holes.map((hole): [string, string] => [hole, `hole ${hole}`]),
  ];
  const first = places[0]?.[0] ?? "support";
  const [word, setWord] = useState(kinds[0]?.kind ?? "push");
  const kind = kinds.find((kind) => kind.kind === word) ?? (kinds[0] as LoadKind);
  const [load, setLoad] = useState<TypedLoad>(() => usualLoad(kind, inch, taken, first));
  const [added, setAdded] = useState<string | null>(null);
  const put = (part: Partial<TypedLoad>) => {
    // What was last told is not of what is being said now.
    setAdded(null);
    setLoad((load) => ({ ...load, ...part }));
  };
  const choose = (word: string) => {
    setWord(word);
    const chosen = kinds.find((kind) => kind.kind === word);
    if (chosen) put(asKind(load, kind, chosen, inch, taken));
  };
  const wants = missing(kind, load, taken);
  const add = () => {
    if (wants) return;
    void desk.act("fit", [loadAct(kind, load)], `load ${load.name}, ${load.size}`).then((done) => {
      if (!done) return;
      setAdded(load.name);
      setLoad(usualLoad(kind, inch, [...taken, load.name], load.at));
    });
  };
  return (
    <div class="add-load" role="group" aria-label="A load more">
      <Chosen
        label="What happens?"
        value={word}
        options={kinds.map((kind) => [kind.kind, kind.says ? `${kind.kind}: ${kind.says}` : kind.kind])}
        put={choose}
      />
      <Sized
        desk={desk}
        kind={kind.kind}
        text={load.size}
        label={kind.kind === "drop" ? "How heavy is what falls?" : `How ${kind.size_key === "mass" ? "heavy" : "hard"}? Usual: ${kind.usual.join(", or ")}`}
        put={(size) => put({ size })}
      />
      {kind.kind === "drop" && (
        <Sized desk={desk} kind="height" text={load.height} label={`How far does it fall? Usual: ${kind.usual.join(", or ")}`} put={(height) => put({ height })} />
      )}
      <Chosen
        label={kind.way_key === "about" ? "About which axis of the equipment is it turned?" : "Which way is the part pushed, along the axes of the equipment?"}
        value={load.way}
        options={WAYS.map((way) => [way, way.startsWith("-") ? way : `+${way}`])}
        put={(way) => put({ way })}
      />
      {places.length > 0 && <Chosen label="Where does it come in?" value={load.at} options={places} put={(at) => put({ at })} />}
      <div class="field">
        <TextInput label="How many times a day? (nothing, when it is not known)" value={load.perDay} type={(perDay) => put({ perDay })} counts says="" />
      </div>
      <div class="field">
        <TextInput label="What is it called?" value={load.name} type={(name) => put({ name })} says="" />
      </div>
      <p class="echo" role="status">
        {added !== null && taken.includes(added) ? `The load ${added} is added.` : wants}
      </p>
      <Press onPress={add} waits={desk.busy}>
        Add this load
      </Press>
    </div>
  );
}

export function AddLoad({ desk, job }: { desk: Desk; job: Job }) {
  const asked = useAsked("kinds", (signal) => desk.server.loadKinds(signal));
  const kinds = asked?.given?.kinds;
  if (!job.files.fit) return <p>What it carries stands in a fit, and this job has none yet.</p>;
  if (!kinds) return null;
  return (
    <Fold class="values" says="Add a load">
      <Form desk={desk} job={job} kinds={kinds} />
    </Fold>
  );
}
