/** Rows under names of the person's own. */

import { Press } from "../press";
import { rowsOf, wayInWords } from "../typed";
import { Adding } from "./adding";
import { Entry, type EntryProps } from "./entry";
import type { TakesOf } from "./keys";
import { article, oneOf } from "./words";

export function NamedEntry({ editor, way, takes, value, label }: EntryProps & { takes: TakesOf<"named"> }) {
  const noun = oneOf(way);
  return (
    <div class="rows" role="group" aria-label={label}>
      {rowsOf(value).map(([name, row]) => {
        const here = [...way, name];
        const called = way.length > 1 ? `${noun} ${name}` : name;
        const out = () => void editor.act([{ act: "remove", at: here }], `${wayInWords(here)} taken out`);
        return (
          <div class="row" key={name} role="group" aria-label={`${label}: ${called}`}>
            <h3>{called}</h3>
            <Entry editor={editor} way={here} takes={takes.of} value={row} label={called} must />
            <Press onPress={out} plain waits={editor.desk.busy} says={`Take ${called} out`}>
              Take {called} out
            </Press>
          </div>
        );
      })}
      <Adding editor={editor} way={way} takes={takes.of} how="name" byLine={takes.key === "line"} called={`Add ${article(noun)}`} />
    </div>
  );
}
