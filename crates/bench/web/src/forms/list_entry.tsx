/** A list: as many as there must be, or rows that are added, taken out and moved by buttons. */

import { useRef } from "preact/hooks";
import { Press } from "../press";
import { wayInWords } from "../typed";
import { Adding } from "./adding";
import { blank } from "./draft";
import { Entry, type EntryProps } from "./entry";
import type { TakesOf } from "./keys";
import { followed, type RowId } from "./row_ids";
import { article, oneOf, placeIn } from "./words";

export function ListEntry(props: EntryProps & { takes: TakesOf<"list"> }) {
  const { editor, way, takes, value, label, hint } = props;
  const rows = Array.isArray(value) ? value : [];
  // What is typed in a row and not kept goes where its row goes.
  const ids = useRef<RowId[]>([]);
  ids.current = followed(ids.current, rows.map((row) => JSON.stringify(row)));
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
            label={placeIn(label, place, takes, index).trim()}
            must
          />
        ))}
      </div>
    );
  }
  const noun = oneOf(way);
  const busy = editor.desk.busy;
  const words = wayInWords(way);
  const out = (index: number) => () => {
    void editor.act([{ act: "remove", at: [...way, index] }], `${words} ${index + 1} taken out`);
  };
  const move = (index: number, by: -1 | 1) => () => {
    void editor.act([{ act: "move", at: [...way, index], to: index + by }], `${words} ${index + 1} moved`);
  };
  // Lists in lists have rows of one name, so each says whose it is.
  const called = (index: number) => (way.length > 1 ? `${noun} ${index + 1} of ${label}` : `${noun} ${index + 1}`);
  const boxed = rows.some((row) => typeof row === "object" && row !== null);
  return (
    <div class="rows" role="group" aria-label={label}>
      {hint && <p class="hint">{hint}</p>}
      {rows.map((row, index) => (
        <div class={boxed ? "row" : "row slim"} key={ids.current[index]?.id} role={boxed ? "group" : undefined} aria-label={boxed ? `${label}: ${called(index)}` : undefined}>
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
