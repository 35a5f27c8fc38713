/** What a file says under one of its keys, in forms: every value can be changed, and what may be said beside it can be added. */

import type { Desk } from "./desk";
import { Fold } from "./fold";
import { Adding } from "./forms/adding";
import { keptEditor, type Tapping } from "./forms/editor";
import { Entry } from "./forms/entry";
import { seemsToTake, type Takes } from "./forms/keys";
import { useKeys } from "./forms/known";
import { hintOf } from "./forms/words";
import { at } from "./typed";
import type { FileName, Job, Typed } from "./types";

export interface FromFile {
  file: FileName;
  key: string;
  /** What it is called on the page. */
  called: string;
}

function countOf(value: Typed): number {
  if (Array.isArray(value)) return value.length;
  return typeof value === "object" && value !== null ? value.table.length : 1;
}

function isLeaf(takes: Takes): boolean {
  return !["list", "pair", "table", "shapes", "named", "either"].includes(takes.is);
}

/** One key of a file; nothing where the file is not there, or does not say it and the tables do not know it. */
export function Values({ desk, job, from, tapping }: { desk: Desk; job: Job; from: FromFile; tapping?: Tapping }) {
  const keys = useKeys(desk.server);
  const values = job.files[from.file]?.values;
  if (values === undefined || values === null) return null;
  const value = at(values, [from.key]);
  const key = keys?.[from.file].find((key) => key.name === from.key);
  if (value === undefined && !key) return null;
  const takes = key?.takes ?? seemsToTake(value);
  const editor = { ...keptEditor(desk, job, from.file), tapping };
  const must = key?.must ?? true;
  const hint = key && hintOf({ ...key, example: "" });
  const entry = (hint?: string) => (
    <Entry editor={editor} way={[from.key]} takes={takes} value={value} label={from.called} hint={hint} must={must} />
  );
  if (isLeaf(takes)) return entry(hint);
  const rows = takes.is === "named" || takes.is === "list";
  return (
    <Fold class="values" says={<>{from.called} ({value === undefined ? "none yet" : countOf(value)})</>}>
      {hint && <p class="hint">{hint}</p>}
      {value === undefined && !rows ? (
        <Adding editor={editor} way={[from.key]} takes={takes} how="whole" called={`Say ${from.called}`} />
      ) : (
        entry()
      )}
    </Fold>
  );
}
