/** Rows under names of the person's own. */

import { useRef } from "preact/hooks";
import { Press } from "../press";
import { rowsOf, wayInWords } from "../typed";
import { Adding } from "./adding";
import { Entry, type EntryProps } from "./entry";
import type { TakesOf } from "./keys";
import { namedIn } from "./named";
import { Renaming } from "./renaming";
import { keysOf, type Renamed } from "./row_ids";
import { article, oneOf } from "./words";

export function NamedEntry({ editor, way, takes, value, label }: EntryProps & { takes: TakesOf<"named"> }) {
  const rows = rowsOf(value);
  // A row that is called otherwise stays the same row, with what is typed in it and with the focus.
  const keys = useRef(new Map<string, string>());
  const renamed = useRef<Renamed | null>(null);
  keys.current = keysOf(keys.current, rows.map(([name]) => name), renamed.current);
  const noun = oneOf(way);
  const what = editor.kept ? namedIn(editor.file, way) : undefined;
  return (
    <div class="rows" role="group" aria-label={label}>
      {rows.map(([name, row]) => {
        const here = [...way, name];
        const called = way.length > 1 ? `${noun} ${name}` : name;
        const out = () => void editor.act([{ act: "remove", at: here }], `${wayInWords(here)} taken out`);
        return (
          <div class="row" key={keys.current.get(name)} role="group" aria-label={`${label}: ${called}`}>
            <h3>{called}</h3>
            <Entry editor={editor} way={here} takes={takes.of} value={row} label={called} must />
            <div class="acts">
              <Press onPress={out} plain waits={editor.desk.busy} says={`Take ${called} out`}>
                Take {called} out
              </Press>
              {what && (
                <Renaming
                  desk={editor.desk}
                  what={what}
                  name={name}
                  follow={(from, to) => {
                    renamed.current = { from, to };
                  }}
                />
              )}
            </div>
          </div>
        );
      })}
      <Adding editor={editor} way={way} takes={takes.of} how="name" byLine={takes.key === "line"} called={`Add ${article(noun)}`} />
    </div>
  );
}
