/** A table with fixed keys: those that must be said, those that are, and behind "More" those that may be. */

import { Fold } from "../fold";
import { Press } from "../press";
import { rowsOf, wayInWords } from "../typed";
import { Adding } from "./adding";
import { Entry, type EntryProps, under } from "./entry";
import type { Editor } from "./editor";
import type { Key, Takes } from "./keys";
import { seemsToTake } from "./keys";
import { hintOf } from "./words";

/** Written by one field, and not by parts that must all be there. */
function single(takes: Takes): boolean {
  switch (takes.is) {
    case "list":
    case "pair":
    case "table":
    case "shapes":
    case "named":
    case "line":
    case "corner":
    case "direction":
      return false;
    case "either":
      return takes.any.every(single);
    default:
      return true;
  }
}

function NotSaid({ editor, way, keys, label }: { editor: Editor; way: EntryProps["way"]; keys: Key[]; label: string }) {
  if (keys.length === 0) return null;
  return (
    <Fold class="more" says={<>More{label ? ` about ${label}` : ""} ({keys.length} may be said)</>}>
      {keys.map((key) => {
        const here = [...way, key.name];
        const called = under(label, key.name);
        if (editor.kept && !single(key.takes)) {
          return (
            <div key={key.name} class="row slim">
              <p class="hint">{hintOf(key)}</p>
              <Adding editor={editor} way={here} takes={key.takes} how="whole" called={`Say ${called}`} />
            </div>
          );
        }
        return (
          <Entry key={key.name} editor={editor} way={here} takes={key.takes} value={undefined} label={called} hint={hintOf(key)} must={false} />
        );
      })}
    </Fold>
  );
}

export function TableEntry({ editor, way, value, label, keys }: Omit<EntryProps, "takes"> & { keys: Key[] }) {
  const rows = rowsOf(value);
  const said = new Map(rows);
  const known = new Set(keys.map((key) => key.name));
  const busy = editor.desk.busy;
  const shown = keys.filter((key) => key.must || said.has(key.name));
  // In a draft what may be said stays where it is while it is said.
  const more = editor.kept ? keys.filter((key) => !key.must && !said.has(key.name)) : keys.filter((key) => !key.must);
  const now = editor.kept ? shown : keys.filter((key) => key.must);
  return (
    <div class="table">
      {now.map((key) => {
        const here = [...way, key.name];
        const called = under(label, key.name);
        const out = () => void editor.act([{ act: "remove", at: here }], `${wayInWords(here)} taken out`);
        return (
          <div key={key.name} class="key">
            <Entry editor={editor} way={here} takes={key.takes} value={said.get(key.name)} label={called} hint={hintOf(key)} must={key.must} />
            {editor.kept && !key.must && (
              <Press onPress={out} plain waits={busy} says={`Take ${called} out`}>
                Take {called} out
              </Press>
            )}
          </div>
        );
      })}
      {rows
        .filter(([key]) => !known.has(key))
        .map(([key, row]) => (
          <Entry key={key} editor={editor} way={[...way, key]} takes={seemsToTake(row)} value={row} label={under(label, key)} must />
        ))}
      {editor.kept ? (
        <NotSaid editor={editor} way={way} keys={more} label={label} />
      ) : (
        more.length > 0 && (
          <Fold class="more" says={<>More ({more.length} may be said)</>}>
            {more.map((key) => (
              <Entry
                key={key.name}
                editor={editor}
                way={[...way, key.name]}
                takes={key.takes}
                value={said.get(key.name)}
                label={under(label, key.name)}
                hint={hintOf(key)}
                must={false}
              />
            ))}
          </Fold>
        )
      )}
    </div>
  );
}
