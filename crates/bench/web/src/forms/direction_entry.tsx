/** A direction: along an axis, or three numbers. */

import { Choice } from "./choice";
import { type EntryProps, write } from "./entry";
import { ListEntry } from "./list_entry";

const AXES = ["x", "-x", "y", "-y", "z", "-z"];
const NUMBERS = "three numbers";

export function DirectionEntry(props: EntryProps) {
  const { editor, way, value, label, hint, must } = props;
  const numbers = Array.isArray(value);
  const none = !must && !editor.kept ? [{ value: "", says: "not said" }] : [];
  const said = numbers ? NUMBERS : typeof value === "string" && value !== "" ? value : must || editor.kept ? null : "";
  const choose = (word: string) => {
    if (word === NUMBERS) void write(editor, way, editor.kept ? [0, 0, 1] : ["", "", ""]);
    else void write(editor, way, word);
  };
  return (
    <>
      <Choice
        label={label}
        hint={hint}
        options={[...none, ...AXES.map((axis) => ({ value: axis, says: axis })), { value: NUMBERS, says: NUMBERS }]}
        value={said}
        choose={choose}
        keep={editor.kept}
        busy={editor.desk.busy}
      />
      {numbers && (
        <ListEntry {...props} hint={undefined} takes={{ is: "list", of: { is: "number" }, least: 3, most: 3 }} />
      )}
    </>
  );
}
