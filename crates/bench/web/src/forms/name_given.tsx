/** The name of something new: typed, or the point, line or measure that it is about. */

import { at, rowsOf } from "../typed";
import type { FileName, Job, Way } from "../types";
import { DraftField } from "./draft_field";
import type { Editor } from "./editor";
import { NameChoice } from "./name_choice";
import { POINT } from "./keys";
import { namesOf, outlineOf } from "./names";
import { endsOf, type Slot } from "./slots";

interface NamingOf {
  slots(name: string, way: Way): Slot[];
  filled(name: string, slot: Slot, point: string): string;
  missing(name: string): string | null;
}

export type Naming = NamingOf &
  (
    | { is: "new" }
    | { is: "among"; label: string; names: string[]; point: boolean }
    | { is: "line"; label: string; names: string[] }
  );

const NO_SLOTS: Pick<NamingOf, "slots" | "filled"> = { slots: () => [], filled: (_, __, point) => point };

/** Measures of the design that are asked of a fit, and have no value there yet. */
function asked(job: Job): string[] {
  const given = new Set(rowsOf(at(job.files.fit?.values, ["measures"])).map(([name]) => name));
  return rowsOf(at(job.files.design?.values, ["measures"]))
    .filter(([name, row]) => at(row, ["fit"]) === true && !given.has(name))
    .map(([name]) => name);
}

/** How the rows of a table get their names. */
export function namingOf(job: Job, file: FileName, way: Way, byLine: boolean): Naming {
  const missing = (label: string) => (name: string) => (name === "" ? `Still to say: ${label}.` : null);
  if (byLine) {
    const label = "which edge";
    return {
      is: "line",
      label,
      names: outlineOf(job),
      missing: (name) => (endsOf(name).includes("") ? `Still to say: ${label}.` : null),
      slots: (name, way) =>
        ([0, 1] as const).map((end) => ({
          way,
          end,
          label: end === 0 ? "one end of the edge" : "the other end of the edge",
          must: true,
          more: false,
          filled: endsOf(name)[end] !== "",
        })),
      filled: (name, slot, point) => {
        const ends = endsOf(name);
        ends[slot.end ?? 0] = point;
        return ends.join("-");
      },
    };
  }
  if (way.join(" ") === "outline corners") {
    const label = "which corner";
    const done = new Set(rowsOf(at(job.files.design?.values, way)).map(([name]) => name));
    return {
      is: "among",
      label,
      names: outlineOf(job).filter((name) => !done.has(name)),
      point: true,
      missing: missing(label),
      slots: (name, way) => [{ way, label, must: true, more: false, filled: name !== "" }],
      filled: (_, __, point) => point,
    };
  }
  if (file === "fit" && way.join(" ") === "measures") {
    const label = "which measure";
    return { is: "among", label, names: asked(job), point: false, missing: missing(label), ...NO_SLOTS };
  }
  return { is: "new", missing: missing("its name"), ...NO_SLOTS };
}

export interface NameGivenProps {
  editor: Editor;
  way: Way;
  naming: Naming;
  name: string;
  give: (name: string) => void;
}

export function NameGiven({ editor, way, naming, name, give }: NameGivenProps) {
  if (naming.is === "new") {
    return <DraftField editor={editor} way={way} label="Name" value={name} silent hint="Letters, digits and underscores." type={give} />;
  }
  if (naming.is === "among") {
    return <NameChoice editor={editor} way={way} label={naming.label} names={naming.names} value={name} choose={give} point={naming.point} />;
  }
  const ends = endsOf(name);
  const names = naming.names.length > 0 ? naming.names : namesOf(editor.job, POINT);
  return (
    <div class="group" role="group" aria-label={naming.label}>
      {([0, 1] as const).map((end) => (
        <NameChoice
          key={end}
          editor={editor}
          way={way}
          end={end}
          label={`${naming.label}, ${end === 0 ? "one end" : "the other end"}`}
          names={names}
          value={ends[end]}
          choose={(point) => {
            const next: [string, string] = [...ends];
            next[end] = point;
            give(next.join("-"));
          }}
          point
        />
      ))}
    </div>
  );
}
