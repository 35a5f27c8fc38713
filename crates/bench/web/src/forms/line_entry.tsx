/** A line: the two points that it goes through. */

import { type EntryProps, write } from "./entry";
import { NameChoice } from "./name_choice";
import { POINT } from "./keys";
import { namesOf } from "./names";
import { endsOf } from "./slots";

export function LineEntry({ editor, way, value, label, hint, must }: EntryProps) {
  const ends = endsOf(value);
  const names = namesOf(editor.job, POINT);
  const choose = (end: 0 | 1) => (name: string) => {
    const next: [string, string] = [...ends];
    next[end] = name;
    const line = next.join("-");
    void write(editor, way, line === "-" ? undefined : line);
  };
  return (
    <div class="group" role="group" aria-label={label}>
      {hint && <p class="hint">{hint}</p>}
      {([0, 1] as const).map((end) => (
        <NameChoice
          key={end}
          editor={editor}
          way={way}
          end={end}
          label={`${label}, ${end === 0 ? "one end" : "the other end"}`}
          names={names}
          value={ends[end]}
          choose={choose(end)}
          optional={!must}
          point
        />
      ))}
    </div>
  );
}
