/** What is done to a corner: one of three words, and a length. */

import { useState } from "preact/hooks";
import { Field } from "../field";
import { Choice } from "./choice";
import { DraftField } from "./draft_field";
import { aheadOf, type Editor } from "./editor";
import { type EntryProps, write } from "./entry";

export const CORNERS = [
  { value: "round", says: "round", more: "its radius" },
  { value: "chamfer", says: "chamfer", more: "taken off along both edges" },
  { value: "notch", says: "notch", more: "its radius, cut in about the corner" },
];

/** The word and the length of "round 6 mm". */
export function cornerParts(text: string): [string, string] {
  // What follows the word stays as it is typed: "1 " is on its way to "1 1/8 in".
  const [, word = "", length = ""] = /^\s*(\S*)\s*(.*)$/s.exec(text) ?? [];
  return [word, length];
}

export function CornerEntry({ editor, way, value, label, hint }: EntryProps) {
  const [word, length] = cornerParts(typeof value === "string" ? value : "");
  // A length that is typed first waits for its word.
  const [begun, setBegun] = useState("round");
  const kind = word || begun;
  const say = (to: Editor, word: string, length: string) => {
    if (to === editor) setBegun(word);
    return write(to, way, `${word} ${length}`);
  };
  const written = (text: string) => `${kind} ${text}`;
  const set = (text: string) => editor.act([{ act: "set", at: way, to: written(text) }], "");
  return (
    <>
      <Choice
        label={`${label}, what is done to it`}
        hint={hint}
        options={CORNERS}
        value={kind}
        choose={(word) => void say(editor, word, length)}
        ahead={(word) => void say(aheadOf(editor), word, length)}
        keep={editor.kept}
        busy={editor.desk.busy}
      />
      {editor.kept ? (
        <Field desk={editor.desk} file={editor.file} way={way} label={`${label}, how much`} value={length} written={written} />
      ) : (
        <DraftField editor={editor} way={way} label={`${label}, how much`} value={length} written={written} type={(text) => void set(text)} />
      )}
    </>
  );
}
