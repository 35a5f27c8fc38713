/** One reading at a time, in the order that helps most, with what all else says of it and the picture of it beside it. */

import { useEffect, useRef, useState } from "preact/hooks";
import { type Asked, useAsked } from "../asked";
import type { Desk } from "../desk";
import { Choice } from "../forms/choice";
import { useKeys } from "../forms/known";
import { type Keys, type NameTakes, takesAt } from "../forms/keys";
import { centres, namesOf } from "../forms/names";
import { Fold } from "../fold";
import { Board } from "../mark_out/board";
import { Press } from "../press";
import { useInSight } from "../turns";
import { at } from "../typed";
import type { Job } from "../types";
import type { Unkept } from "../typing";
import type { MeasureItem, Measured, NextReading } from "./measured";
import { actsOfInstrument, actsOfNew, beside, firstOf, itemKey, unkeptKey } from "./order";
import { ReadingField, type Written } from "./reading_field";
import "./measure.css";

const OF_FILE = "\u0000file";

function instrumentsOf(job: Job, keys: Keys | null): string[] {
  const takes = keys && takesAt(keys.design, ["survey", "with"]);
  return takes?.is === "name" ? namesOf(job, takes as NameTakes) : [];
}

function Instrument({ desk, job, item, names }: { desk: Desk; job: Job; item: MeasureItem; names: string[] }) {
  const values = job.files[item.file]?.values;
  // What cannot be said of it is not asked.
  const can = actsOfInstrument(values, item, "tape") !== null;
  if (!can) return null;
  const own = at(values, ["survey", "with"]);
  const all = [...new Set([...names, ...(item.with ? [item.with] : [])])];
  const options = [
    { value: OF_FILE, says: typeof own === "string" ? `the one of the file: ${own}` : "the usual one" },
    ...all.map((name) => ({ value: name, says: name.replace(/_/g, " ") })),
  ];
  const choose = (name: string) => {
    const acts = actsOfInstrument(values, item, name === OF_FILE ? null : name);
    if (acts) void desk.act(item.file, acts, `${item.label} read with ${name === OF_FILE ? "the usual instrument" : name}`);
  };
  return (
    <Fold class="more" says={<>Instrument: {item.with?.replace(/_/g, " ") ?? (typeof own === "string" ? own : "the usual one")}</>}>
      <Choice label="Which instrument" options={options} value={item.with ?? OF_FILE} choose={choose} keep busy={desk.busy} />
    </Fold>
  );
}

function writtenOf(item: MeasureItem, text: string): Written {
  return { acts: [{ act: "set", at: item.way, to: text }], says: `${item.label} ${text}` };
}

type Now = { is: "item"; key: string } | { is: "new"; next: NextReading } | null;

export function Measuring({ desk, job }: { desk: Desk; job: Job }) {
  const { ref, inSight } = useInSight<HTMLDivElement>();
  const asked = useAsked(job.stamp, () => desk.server.measure(), { inSight });
  return (
    <div class="measuring" ref={ref}>
      {asked?.failed && <p class="no-picture">What is to be measured could not be asked: {asked.failed}</p>}
      {!asked && <p class="no-picture">What is to be measured is being worked out.</p>}
      {asked?.given && <Measures desk={desk} job={job} asked={asked} measured={asked.given} />}
    </div>
  );
}

function Measures({ desk, job, asked, measured }: { desk: Desk; job: Job; asked: Asked<Measured>; measured: Measured }) {
  const keys = useKeys(desk.server);
  const [now, setNow] = useState<Now>(null);
  /** What was just added: once it is among the readings, the one after it is shown. */
  const [added, setAdded] = useState<string | null>(null);
  const unkept = useRef<Unkept>(new Map());
  const [instrument, setInstrument] = useState<string | null>(null);
  const heading = useRef<HTMLHeadingElement>(null);
  const { items } = measured;
  const item = now?.is === "item" ? (items.find((item) => itemKey(item) === now.key) ?? firstOf(items)) : firstOf(items);
  const names = instrumentsOf(job, keys);

  const show = (next: MeasureItem | undefined) => {
    if (!next) return;
    setNow({ is: "item", key: itemKey(next) });
    heading.current?.focus();
  };
  useEffect(() => {
    if (added === null || asked.stamp !== job.stamp) return;
    setAdded(null);
    const here = items.find((item) => itemKey(item) === added);
    if (here) show(beside(items, here, 1));
  }, [asked, job.stamp, added]);

  const fresh = now?.is === "new" ? now.next : null;
  const count = (() => {
    const rows = at(job.files.design?.values, ["readings"]);
    return Array.isArray(rows) ? rows.length : 0;
  })();
  const keepItem = (item: MeasureItem) => async (text: string, on: boolean) => {
    // The one that is shown stays the one that is shown, whatever comes before it now.
    setNow({ is: "item", key: itemKey(item) });
    const next = on ? beside(items, item, 1) : undefined;
    const { acts, says } = writtenOf(item, text);
    const good = await desk.act(item.file, acts, says);
    if (good) show(next);
    return good;
  };
  const newWritten = (next: NextReading, text: string): Written => ({
    acts: actsOfNew(next, count, text, instrument),
    says: `reading from ${next.between.join(" to ")} ${text}`,
  });
  const keepNew = (next: NextReading) => async (text: string, on: boolean) => {
    const { acts, says } = newWritten(next, text);
    const good = await desk.act("design", acts, says);
    if (!good) return false;
    const key = itemKey({ file: "design", way: ["readings", count, "read"] });
    setNow({ is: "item", key });
    if (on) setAdded(key);
    return true;
  };
  const left = items.filter((item) => item.typed === null && !item.found).length;
  const position = item ? items.indexOf(item) + 1 : 0;
  const points = fresh ? fresh.between : (item?.points ?? []);
  return (
    <>
      {(fresh || item) && (
        <section class="one-reading" aria-labelledby="one-reading">
          <h3 id="one-reading" tabIndex={-1} ref={heading}>
            {fresh ? `A new reading: from ${fresh.between.join(" to ")}` : item?.label}
          </h3>
          <p class="place">
            {fresh ? "Not in the file yet." : `${position} of ${items.length}${left > 0 ? `; ${left} not measured yet` : ""}${item?.about ? `: ${item.about}` : ""}`}
          </p>
          {!fresh && item?.unchecked && <p>Nothing else checks it: a slip in it would not show.</p>}
          {!fresh && item?.found && <p>It is found from the fit; it need not be measured.</p>}
          {!fresh && item?.ask && <p class="ask">{item.ask}</p>}
          <div class="beside">
            <div>
              {fresh ? (
                <>
                  <ReadingField
                    key={`new ${fresh.between.join("-")}`}
                    desk={desk}
                    file="design"
                    way={["readings", count, "read"]}
                    label="What the instrument shows"
                    typed={null}
                    expected={fresh.expected}
                    band={fresh.band}
                    suspect={null}
                    busy={desk.busy}
                    between={fresh.between}
                    written={(text) => newWritten(fresh, text)}
                    keep={keepNew(fresh)}
                    keepSays="Add it"
                    unkept={unkept.current}
                    of={`new ${fresh.between.join("-")}`}
                  />
                  <Fold class="more" says={<>Instrument: {instrument ?? "the one of the file"}</>}>
                    <Choice
                      label="Which instrument"
                      options={[{ value: OF_FILE, says: "the one of the file" }, ...names.map((name) => ({ value: name, says: name.replace(/_/g, " ") }))]}
                      value={instrument ?? OF_FILE}
                      choose={(name) => setInstrument(name === OF_FILE ? null : name)}
                    />
                  </Fold>
                </>
              ) : (
                item && (
                  <>
                    <ReadingField
                      key={itemKey(item)}
                      desk={desk}
                      file={item.file}
                      way={item.way}
                      label="What the instrument shows"
                      typed={item.typed}
                      expected={item.expected}
                      band={item.band}
                      suspect={item.suspect ? { off: item.off, meant: item.did_you_mean } : null}
                      busy={desk.busy}
                      written={(text) => writtenOf(item, text)}
                      keep={keepItem(item)}
                      keepSays="Keep"
                      unkept={unkept.current}
                      of={unkeptKey(items, item)}
                    />
                    <Instrument desk={desk} job={job} item={item} names={names} />
                  </>
                )
              )}
              <div class="acts" role="group" aria-label="Which reading">
                <Press plain onPress={() => show(item && !fresh ? beside(items, item, -1) : item)} waits={items.length === 0}>
                  The one before
                </Press>
                <Press plain onPress={() => show(item && !fresh ? beside(items, item, 1) : item)} waits={items.length === 0}>
                  The next
                </Press>
              </div>
            </div>
            <Board server={desk.server} stamp={job.stamp} called="What is measured" tap={() => undefined} centres={centres(job)} chosen={points.map((name) => ({ is: "point", name }))} guide={points.length === 2 && (fresh || item?.kind !== "reading") ? points : []} reading={fresh ? null : (item?.kind === "reading" ? item.index : null)} still />
          </div>
        </section>
      )}
      {measured.told && <p class="told-of-all">{measured.told}</p>}
      {items.length === 0 && <p>Nothing is measured yet. Points are begun under "Mark out".</p>}
      {measured.next.length > 0 && (
        <section class="next-readings" aria-labelledby="next-readings">
          <h3 id="next-readings">What would help most to measure next</h3>
          <ul class="findings">
            {measured.next.map((next) => (
              <li key={next.between.join("-")}>
                <p>
                  <strong>From {next.between.join(" to ")}</strong>: {next.why}
                  {next.expected ? `. It should be ${next.expected}` : ""}.
                </p>
                <Press
                  plain
                  onPress={() => {
                    setNow({ is: "new", next });
                    heading.current?.focus();
                  }}
                  says={`Measure it: from ${next.between.join(" to ")}`}
                >
                  Measure it
                </Press>
              </li>
            ))}
          </ul>
        </section>
      )}
      {items.length > 0 && (
        <Fold class="values" says={<>All of them ({items.length})</>}>
          <ul class="all-readings">
            {items.map((one) => (
              <li key={itemKey(one)}>
                <Press plain onPress={() => show(one)} pressed={!fresh && one === item}>
                  <strong>{one.label}</strong>: {one.typed ?? "not measured yet"}
                  {one.suspect && " (looks like a slip)"}
                  {unkept.current.has(unkeptKey(items, one)) && ` (typed and not kept: ${unkept.current.get(unkeptKey(items, one))})`}
                </Press>
              </li>
            ))}
          </ul>
        </Fold>
      )}
    </>
  );
}
