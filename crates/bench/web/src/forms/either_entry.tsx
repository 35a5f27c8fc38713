/** A value that may be of several kinds: which, and then that. */

import { Adding } from "./adding";
import { Choice } from "./choice";
import { blank } from "./draft";
import { Entry, type EntryProps } from "./entry";
import { fits, type Takes, type TakesOf, whichOf } from "./keys";
import { kindOf } from "./words";

/** The kinds that are offered for something new: what a form of a table says too is not offered twice. */
export function offered(any: Takes[]): Takes[] {
  const inShapes = any.flatMap((takes) =>
    takes.is === "shapes" ? takes.shapes.flatMap((shape) => shape.keys.map((key) => JSON.stringify(key.takes))) : [],
  );
  const texts = new Set<string>();
  return any.filter((takes) => {
    if (inShapes.includes(JSON.stringify(takes))) return false;
    // A crease is said by its two ends; the same as one text is not asked for beside it.
    if (takes.is === "line" && any.some((other) => other.is === "list" && other.of.is === "name")) return false;
    // Of kinds that are all typed into one field, one field is enough.
    const kind = takes.is === "sum" || takes.is === "number" || takes.is === "text" ? "typed" : JSON.stringify(takes);
    if (texts.has(kind)) return false;
    texts.add(kind);
    return true;
  });
}

export function EitherEntry(props: EntryProps & { takes: TakesOf<"either"> }) {
  const { editor, way, takes, value, label, hint } = props;
  const offers = offered(takes.any);
  if (editor.kept && value !== undefined) {
    const now = takes.any[whichOf(takes.any, value)] ?? { is: "text" };
    const other = offers.length > 1 || !offers.includes(now);
    return (
      <>
        <Entry {...props} takes={now} />
        {other && now.is !== "shapes" && (
          <Adding editor={editor} way={way} takes={takes} how="change" from={value} called={`Say ${label} in another way`} />
        )}
      </>
    );
  }
  const chosen = offers.findIndex((offer) => fits(offer, value));
  const now = offers[Math.max(chosen, 0)] ?? { is: "text" };
  if (offers.length === 1) return <Entry {...props} takes={now} value={fits(now, value) ? value : undefined} />;
  const choose = (index: string) => {
    const next = offers[Number(index)];
    if (next) void editor.act([{ act: "set", at: way, to: blank(next) }], "");
  };
  return (
    <>
      <Choice
        label={`${label}: what kind`}
        hint={hint}
        options={offers.map((offer, index) => ({ value: String(index), says: kindOf(offer) }))}
        value={String(Math.max(chosen, 0))}
        choose={choose}
      />
      <Entry {...props} takes={now} hint={undefined} />
    </>
  );
}
