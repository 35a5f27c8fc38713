/** A list: as many as there must be, or rows that are added, taken out and moved by buttons. */

import { Press } from "../press";
import { wayInWords } from "../typed";
import type { Typed } from "../types";
import { Adding } from "./adding";
import { blank, moved, plainOf } from "./draft";
import { Entry, type EntryProps } from "./entry";
import type { TakesOf } from "./keys";
import { article, oneOf, placeIn } from "./words";

export function ListEntry(props: EntryProps & { takes: TakesOf<"list"> }) {
  const { editor, way, takes, value, label, hint } = props;
  const rows = Array.isArray(value) ? value : [];
  const fixed = takes.least === takes.most;
  if (fixed) {
    const key = String([...way].reverse().find((step) => typeof step === "string") ?? "");
    const place = way.length === 2 && way[0] === "points" ? "points" : key;
    const count = Math.max(takes.least, rows.length);
    return (
      <div class="group">
        {hint && <p class="hint">{hint}</p>}
        {Array.from({ length: count }, (_, index) => (
          <Entry
            key={index}
            editor={editor}
            way={[...way, index]}
            takes={takes.of}
            value={rows[index]}
            label={`${label} ${placeIn(place, takes, index)}`.trim()}
            must
          />
        ))}
      </div>
    );
  }
  const noun = oneOf(way);
  const busy = editor.desk.busy;
  const words = wayInWords(way);
  const toWrite = (list: Typed[]) => list.map(plainOf);
  const out = (index: number) => () => {
    void editor.act([{ act: "remove", at: [...way, index] }], `${words} ${index + 1} taken out`);
  };
  const move = (index: number, by: -1 | 1) => () => {
    const list = moved(rows, index, by);
    void editor.act([{ act: "set", at: way, to: editor.kept ? toWrite(list) : list }], `${words} ${index + 1} moved`);
  };
  const called = (index: number) => `${noun} ${index + 1}`;
  const boxed = rows.some((row) => typeof row === "object" && row !== null);
  return (
    <div class="rows" role="group" aria-label={label}>
      {hint && <p class="hint">{hint}</p>}
      {rows.map((row, index) => (
        <div class={boxed ? "row" : "row slim"} key={index} role="group" aria-label={called(index)}>
          {boxed && <h3>{called(index)}</h3>}
          <Entry editor={editor} way={[...way, index]} takes={takes.of} value={row} label={called(index)} must />
          <div class="acts">
            <Press onPress={move(index, -1)} plain waits={busy || index === 0} says={`${called(index)}: earlier`}>
              Earlier
            </Press>
            <Press onPress={move(index, 1)} plain waits={busy || index === rows.length - 1} says={`${called(index)}: later`}>
              Later
            </Press>
            <Press onPress={out(index)} plain waits={busy} says={`Take out ${called(index)}`}>
              Take out
            </Press>
          </div>
        </div>
      ))}
      {editor.kept ? (
        <Adding editor={editor} way={way} takes={takes.of} how="row" called={`Add ${article(noun)}`} />
      ) : (
        rows.length < takes.most && (
          <Press
            plain
            onPress={() => void editor.act([{ act: "set", at: [...way, rows.length], to: blank(takes.of) }], "")}
            says={`${label}: add ${article(noun)}`}
          >
            Add {article(noun)}
          </Press>
        )
      )}
    </div>
  );
}
