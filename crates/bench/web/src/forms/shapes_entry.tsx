/** A table that has one of several forms: first how, then what that asks for. */

import { Adding } from "./adding";
import { blankShape } from "./draft";
import type { EntryProps } from "./entry";
import { HowChosen } from "./how_chosen";
import { type Shape, shapeOf, type TakesOf } from "./keys";
import { TableEntry } from "./table_entry";
import { howOf } from "./words";

export function ShapesEntry({ editor, way, takes, value, label, must }: EntryProps & { takes: TakesOf<"shapes"> }) {
  const shape = shapeOf(takes.shapes, value);
  if (editor.kept) {
    return (
      <>
        {shape && takes.shapes.length > 1 && <p class="how">{howOf(way, shape)}</p>}
        <TableEntry editor={editor} way={way} value={value} label={label} keys={shape?.keys ?? []} must={must} />
        {takes.shapes.length > 1 && (
          <Adding editor={editor} way={way} takes={takes} how="change" from={value} called={`Say ${label} in another way`} />
        )}
      </>
    );
  }
  const choose = (next: Shape) => void editor.act([{ act: "set", at: way, to: blankShape(next, value) }], "");
  return (
    <>
      <HowChosen way={way} label={label} shapes={takes.shapes} chosen={shape} choose={choose} />
      {shape && <TableEntry editor={editor} way={way} value={value} label={label} keys={shape.keys} must={must} />}
    </>
  );
}
