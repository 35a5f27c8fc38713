/** What a file says in one of its tables, every value in a field of its own. */

import { type Desk, useOnce } from "./desk";
import { Field } from "./field";
import { at, inWords, isLeaf, isTable, wayInWords } from "./typed";
import type { FileName, Job, Typed, Way } from "./types";

interface ValueProps {
  desk: Desk;
  file: FileName;
  way: Way;
  label: string;
  value: Typed;
}

function YesOrNo({ desk, file, way, label, value }: ValueProps & { value: boolean }) {
  const name = `${file}-${way.join("-")}`;
  const choose = (to: boolean) => {
    void desk.act(file, [{ act: "set", at: way, to }], `${wayInWords(way)} ${to ? "yes" : "no"}`);
  };
  return (
    <fieldset class="choice">
      <legend>{label}</legend>
      {[true, false].map((choice) => (
        <label key={String(choice)}>
          <input type="radio" name={name} checked={value === choice} onChange={() => choose(choice)} />
          {choice ? "yes" : "no"}
        </label>
      ))}
    </fieldset>
  );
}

function Value(props: ValueProps) {
  const { value, way, label } = props;
  if (typeof value === "boolean") return <YesOrNo {...props} value={value} />;
  if (isLeaf(value)) return <Field {...props} value={value as string | number} />;
  if (Array.isArray(value)) {
    const rows = value.some((row) => isTable(row));
    return (
      <div class={rows ? "rows" : "list"} role="group" aria-label={label}>
        {value.map((row, index) => (
          <Row key={index} {...props} value={row} way={[...way, index]} label={`${label} ${index + 1}`} boxed={rows} />
        ))}
      </div>
    );
  }
  if (isTable(value)) {
    return (
      <div class="table" role="group" aria-label={label}>
        {value.table.map(([key, row]) => (
          <Value key={key} {...props} value={row} way={[...way, key]} label={`${label} ${inWords(key)}`} />
        ))}
      </div>
    );
  }
  return null;
}

function Row({ boxed, ...props }: ValueProps & { boxed: boolean }) {
  const { desk, file, way, label } = props;
  const remove = useOnce(() => {
    if (desk.busy) return;
    void desk.act(file, [{ act: "remove", at: way }], `${wayInWords(way)} taken out`);
  });
  if (!boxed) return <Value {...props} />;
  return (
    <div class="row">
      <h4>{label}</h4>
      <Value {...props} />
      <button type="button" class="plain" onClick={remove} aria-disabled={desk.busy}>
        Take {label} out
      </button>
    </div>
  );
}

export interface FromFile {
  file: FileName;
  key: string;
  /** What it is called on the page. */
  called: string;
}

/** One table of a file; nothing where the file does not have it. */
export function Values({ desk, job, from }: { desk: Desk; job: Job; from: FromFile }) {
  const values = job.files[from.file]?.values;
  const value = at(values, [from.key]);
  if (value === undefined || value === null) return null;
  const props = { desk, file: from.file };
  if (isLeaf(value)) return <Value {...props} way={[from.key]} label={from.called} value={value} />;
  const entries: [string | number, Typed][] = Array.isArray(value)
    ? value.map((row, index): [number, Typed] => [index, row])
    : isTable(value)
      ? value.table
      : [];
  return (
    <details class="values">
      <summary>
        {from.called} ({entries.length})
      </summary>
      {entries.map(([key, row]) => {
        const label = typeof key === "number" ? `${from.called} ${key + 1}` : inWords(key);
        return (
          <Row key={key} {...props} way={[from.key, key]} label={label} value={row} boxed={!isLeaf(row)} />
        );
      })}
    </details>
  );
}
