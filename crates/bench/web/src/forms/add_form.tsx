/** A form for something new, or for something said in another way: filled as a draft, and written by one press. */

import type { RefObject } from "preact";
import { useEffect, useRef, useState } from "preact/hooks";
import { useAhead } from "../ahead";
import { Press } from "../press";
import { at as valueAt, rowsOf, wayInWords } from "../typed";
import { useUnwritten } from "../typing";
import type { Act, Typed, Way } from "../types";
import { actsToAdd, actsToWrite } from "./acts";
import { blank, blankShape, builtOf, missing, moved, type Plain, put } from "./draft";
import type { Editor } from "./editor";
import { Entry } from "./entry";
import { FormBox, type Guard } from "./form_box";
import { shapeOf, type Takes } from "./keys";
import { NameGiven, namingOf } from "./name_given";
import { nextName, notFree } from "./names";
import { armedOf, filled, type Slot, slotKey, slotsOf } from "./slots";
import { oneOf } from "./words";

export interface AddFormProps {
  editor: Editor;
  /** The table or list it comes into; or its own place. */
  way: Way;
  takes: Takes;
  /** Under a name, as a row, at its own place where nothing is, or in the place of what is there. */
  how: "name" | "row" | "whole" | "change";
  byLine?: boolean;
  /** What is there. */
  from?: Typed;
  /** What is said already of something new. */
  begun?: Typed;
  beginName?: string;
  title: string;
  close: () => void;
  guard?: Guard;
  /** Told once it is written. */
  done?: (name: string) => void;
}

/** Names of rows of a draft: no name of a thing has a mark of interrogation. */
const NEW = "?";
const NAME_WAY: Way = ["@name"];

function isTyped(value: unknown): value is { table: [string, Typed][] } {
  return typeof value === "object" && value !== null && "table" in value && Array.isArray(value.table);
}

/** What an act writes, as it stands in a draft. */
export function asDraft(to: unknown): Typed {
  if (Array.isArray(to)) return to.map(asDraft);
  if (isTyped(to)) return to;
  if (typeof to === "object" && to !== null) {
    return { table: Object.entries(to).map(([key, row]): [string, Typed] => [key, asDraft(row)]) };
  }
  return to as Typed;
}

/** The draft after acts whose places begin with its own. */
export function drafted(draft: Typed | undefined, own: number, acts: Act[]): Typed | undefined {
  return acts.reduce<Typed | undefined>((value, act) => {
    // What a draft says has no name yet.
    if (act.act === "rename") return value;
    const way = act.at.slice(own);
    if (act.act === "remove") return put(value, way, undefined);
    if (act.act === "set") return put(value, way, asDraft(act.to));
    if (act.act === "move") {
      const list = valueAt(value ?? null, way.slice(0, -1));
      const from = way[way.length - 1];
      return Array.isArray(list) && typeof from === "number" ? put(value, way.slice(0, -1), moved(list, from, act.to)) : value;
    }
    const list = valueAt(value ?? null, way);
    return put(value, [...way, Array.isArray(list) ? list.length : 0], asDraft(act.to));
  }, draft);
}

/** What a form begins with: what is there, as far as it can be said in the first form of it that takes it. */
function begin(takes: Takes, from: Typed | undefined): Typed {
  if (from === undefined) return blank(takes);
  const shapes = takes.is === "shapes" ? takes : takes.is === "either" ? takes.any.find((any) => any.is === "shapes") : undefined;
  if (shapes?.is === "shapes" && Array.isArray(from)) {
    const own = shapes.shapes.find((shape) => shape.lead === "at");
    if (own) return blankShape(own, from);
  }
  return from;
}

/** After an act: the same form, with nothing said but how. */
function again(takes: Takes, draft: Typed | undefined): Typed {
  const shapes = takes.is === "shapes" ? takes : takes.is === "either" ? takes.any.find((any) => any.is === "shapes") : undefined;
  const shape = shapes?.is === "shapes" ? shapeOf(shapes.shapes, draft) : undefined;
  return shape ? blankShape(shape, undefined) : blank(takes);
}

function useLatest<T>(value: T): RefObject<T> & { current: T } {
  const latest = useRef(value);
  latest.current = value;
  return latest as RefObject<T> & { current: T };
}

export function AddForm({ editor: outer, way, takes, how, byLine = false, from, begun, beginName, title, close, guard, done }: AddFormProps) {
  const { job, file, desk, tapping } = outer;
  const naming = how === "name" ? namingOf(job, file, way, byLine) : null;
  const proposed = beginName ?? (naming?.is === "new" ? nextName(job, file, way) : "");
  const [draft, setDraft] = useState<Typed | undefined>(() => begun ?? begin(takes, from));
  const [name, setName] = useState(proposed);
  /** What it began with: nobody said that here. */
  const [bare, setBare] = useState({ draft, name });
  const [stood, setStood] = useState(proposed);
  const [chosen, setChosen] = useState<string | null>(null);
  const [says, setSays] = useState("");
  const [failed, setFailed] = useState(false);
  /** Nothing has been said since the last was added. */
  const fresh = useRef(false);
  const heading = useRef<HTMLHeadingElement>(null);
  // The proposal follows what is there now, as long as nobody named it otherwise.
  if (stood !== proposed) {
    setStood(proposed);
    if (name === stood) setName(proposed);
  }

  const built = JSON.stringify(builtOf(takes, draft));
  const isSaid = built !== JSON.stringify(builtOf(takes, bare.draft)) || (name !== bare.name && name !== proposed);
  useUnwritten(isSaid);

  const latestProposal = useLatest(proposed);
  const there = valueAt(job.files[file]?.values, way);
  const isNew = how === "name" || how === "row";
  const step = how === "name" ? NEW : Array.isArray(there) ? there.length : 0;
  const own: Way = isNew ? [step] : [];
  const nameSlots = naming ? naming.slots(name, NAME_WAY) : [];
  const slots: Slot[] = [...nameSlots, ...slotsOf(takes, draft, own)];
  const armed = tapping ? armedOf(slots, chosen) : null;

  const tap = useLatest((point: string) => {
    if (!armed) return;
    fresh.current = false;
    setSays("");
    if (String(armed.way[0]) === NAME_WAY[0]) setName(naming?.filled(name, armed, point) ?? point);
    else {
      const inside = { ...armed, way: armed.way.slice(own.length) };
      setDraft(filled(draft, inside, point, (way) => valueAt(draft ?? null, way)));
    }
    // A list goes on to its next row; all else to the next that is empty.
    const last = armed.way[armed.way.length - 1];
    const next = armed.more && typeof last === "number" ? { way: [...armed.way.slice(0, -1), last + 1], end: armed.end } : null;
    setChosen(next ? slotKey(next) : null);
  });
  const fills = armed ? `${armed.label.trim() || oneOf(way)}` : null;
  const owner = useRef({});
  const armedKey = armed && slotKey(armed);
  useEffect(() => {
    tapping?.take(owner.current, (point) => tap.current(point), fills);
  }, [armedKey, fills, tapping]);
  useEffect(() => {
    const mine = owner.current;
    return () => tapping?.leave(mine);
  }, [tapping]);
  useEffect(() => heading.current?.focus(), []);

  const editor: Editor = {
    desk,
    job,
    file,
    kept: false,
    tapping,
    arming: tapping && { armed, arm: (slot) => setChosen(slotKey(slot)), root: way },
    act: async (acts) => {
      fresh.current = false;
      setSays("");
      setDraft((draft) => drafted(draft, way.length + own.length, acts));
      return true;
    },
  };

  const label = isNew ? oneOf(way) : wayInWords(way);
  const left = missing(takes, draft, label);
  const taken = rowsOf(there).map(([key]) => key);
  const actsOf = (to: Plain): Act[] => {
    if (how === "name") return actsToWrite([...way, name], to);
    if (how === "row") return actsToAdd(way, Array.isArray(there) ? there.length : 0, to);
    return how === "whole" ? actsToWrite(way, to) : [{ act: "set", at: way, to }];
  };
  const whole = isSaid && left.length === 0 && !(naming && (naming.is === "new" ? notFree(name, taken) : naming.missing(name))) ? builtOf(takes, draft) : undefined;
  const called = how === "name" ? `${label} ${name}` : label;
  const told = how === "change" ? `${called} changed` : `${called} added`;
  useAhead(desk, file, outer.kept && whole !== undefined ? actsOf(whole) : null, told);
  const write = async () => {
    // A late second press of Add, on the form that is empty again, says nothing against what was just done.
    if (fresh.current && builtOf(takes, draft) === undefined) return;
    const wrongName = naming && (naming.is === "new" ? notFree(name, taken) : naming.missing(name));
    if (wrongName || left.length > 0) {
      setFailed(false);
      setSays([wrongName, left.length > 0 && `Still to say: ${left.join("; ")}.`].filter(Boolean).join(" "));
      return;
    }
    const to: Plain | undefined = builtOf(takes, draft);
    if (to === undefined) return;
    const acts = actsOf(to);
    const good = await outer.act(acts, told);
    setFailed(!good);
    if (!good) return;
    done?.(name);
    if (!isNew) {
      close();
      return;
    }
    fresh.current = true;
    setSays(`Added: ${called}. The big "Take back" takes it out again.`);
    const next = { draft: again(takes, draft), name: naming && naming.is !== "new" ? "" : latestProposal.current };
    setDraft(next.draft);
    setName(next.name);
    setBare(next);
    setChosen(null);
    heading.current?.focus();
  };
  return (
    <FormBox title={title} said={isSaid ? `${name} ${built}` : null} close={close} guard={guard} heading={heading}>
      {(leave) => (
        <>
          {tapping && (
            <p class="armed-says" aria-live="polite">
              {fills ? `A tap on a point in the picture fills: ${fills}.` : "All points are said. Choose one here to change it."}
            </p>
          )}
          {naming && <NameGiven editor={editor} way={[...way, ...NAME_WAY]} naming={naming} name={name} give={setName} />}
          <Entry editor={editor} way={[...way, ...own]} takes={takes} value={draft} label={label} must />
          <p class="add-says" role="status">
            {says}
            {failed && desk.trouble ? `Not written: ${desk.trouble.says}` : ""}
          </p>
          <div class="acts">
            <Press onPress={() => void write()} waits={desk.busy}>
              {how === "change" ? "Write it so" : "Add"}
            </Press>
            <Press onPress={leave} plain>
              Leave it
            </Press>
          </div>
        </>
      )}
    </FormBox>
  );
}
