/** One value of a file or of a draft, by what it may be: the control for it, or the controls for its parts. */

import "./forms.css";
import { inWords, wayInWords } from "../typed";
import type { Typed, Way } from "../types";
import { Field } from "../field";
import { Choice } from "./choice";
import { CornerEntry } from "./corner_entry";
import { DirectionEntry } from "./direction_entry";
import type { Plain } from "./draft";
import { DraftField } from "./draft_field";
import { aheadOf, type Editor } from "./editor";
import { EitherEntry } from "./either_entry";
import { fits, seemsToTake, type Takes } from "./keys";
import { LineEntry } from "./line_entry";
import { ListEntry } from "./list_entry";
import { NameChoice } from "./name_choice";
import { NamedEntry } from "./named_entry";
import { namesOf } from "./names";
import { ShapesEntry } from "./shapes_entry";
import { TableEntry } from "./table_entry";
import { partOf } from "./words";

export interface EntryProps {
  editor: Editor;
  way: Way;
  takes: Takes;
  value: Typed | undefined;
  label: string;
  hint?: string;
  must: boolean;
}

/** Writes one value, or takes it out where nothing is said. */
export function write(editor: Editor, way: Way, to: Plain | undefined): Promise<boolean> {
  const words = wayInWords(way);
  if (to === undefined || to === "") return editor.act([{ act: "remove", at: way }], `${words} taken out`);
  const said = typeof to === "object" ? "" : ` ${to === true ? "yes" : to === false ? "no" : String(to)}`;
  return editor.act([{ act: "set", at: way, to }], `${words}${said}`);
}

/** A key of a table as part of the label of what it stands in. */
export function under(label: string, key: string): string {
  return label ? `${label} ${inWords(key)}` : inWords(key);
}

function textOf(value: Typed | undefined): string {
  return typeof value === "string" || typeof value === "number" ? String(value) : "";
}

function TextEntry({ editor, way, takes, value, label, hint, must }: EntryProps) {
  const number = takes.is === "number" || takes.is === "whole";
  if (editor.kept) {
    const stands = typeof value === "string" || typeof value === "number" ? value : undefined;
    return <Field desk={editor.desk} file={editor.file} way={way} label={label} value={stands} hint={hint} number={number && stands === undefined} optional={!must} />;
  }
  const silent = number || takes.is === "text";
  const type = (text: string) => void editor.act([{ act: "set", at: way, to: text }], "");
  return <DraftField editor={editor} way={way} label={label} hint={hint} value={textOf(value)} silent={silent} type={type} />;
}

function WordEntry({ editor, way, takes, value, label, hint, must }: EntryProps & { takes: { is: "word"; one_of: string[] } }) {
  const said = textOf(value);
  const options = takes.one_of.map((word) => ({ value: word, says: word }));
  const none = !must && !editor.kept ? [{ value: "", says: "not said" }] : [];
  return (
    <Choice
      label={label}
      hint={hint}
      options={[...none, ...options]}
      value={said === "" && must ? null : said}
      choose={(word) => void write(editor, way, word)}
      ahead={(word) => void write(aheadOf(editor), way, word)}
      keep={editor.kept}
      busy={editor.desk.busy}
    />
  );
}

const YES_NO = [
  { value: "yes", says: "yes" },
  { value: "no", says: "no" },
];

function FlagEntry({ editor, way, value, label, hint, must }: EntryProps) {
  const none = !must && !editor.kept ? [{ value: "", says: "not said" }] : [];
  const said = typeof value === "boolean" ? (value ? "yes" : "no") : must || editor.kept ? null : "";
  return (
    <Choice
      label={label}
      hint={hint}
      options={[...none, ...YES_NO]}
      value={said}
      choose={(word) => void write(editor, way, word === "" ? undefined : word === "yes")}
      ahead={(word) => void write(aheadOf(editor), way, word === "" ? undefined : word === "yes")}
      keep={editor.kept}
      busy={editor.desk.busy}
    />
  );
}

export function Entry(props: EntryProps) {
  const { editor, way, value, label, must, hint } = props;
  // What stands in the file is shown as what it is, also where something else is meant to stand there.
  const there = value !== undefined && value !== null;
  const takes = there && !fits(props.takes, value) ? seemsToTake(value) : props.takes;
  switch (takes.is) {
    case "flag":
      return <FlagEntry {...props} takes={takes} />;
    case "word":
      return <WordEntry {...props} takes={takes} />;
    case "name":
      return (
        <NameChoice
          editor={editor}
          way={way}
          label={label}
          hint={hint}
          names={namesOf(editor.job, takes)}
          value={textOf(value)}
          choose={(name) => void write(editor, way, name)}
          ahead={(name) => void write(aheadOf(editor), way, name)}
          optional={!must}
          point={takes.of === "point"}
        />
      );
    case "line":
      return <LineEntry {...props} />;
    case "direction":
      return <DirectionEntry {...props} />;
    case "corner":
      return <CornerEntry {...props} />;
    case "list":
      return <ListEntry {...props} takes={takes} />;
    case "pair":
      return (
        <div class="group">
          {[takes.first, takes.second].map((part, index) => (
            <Entry
              key={index}
              editor={editor}
              way={[...way, index]}
              takes={part}
              value={Array.isArray(value) ? value[index] : undefined}
              label={`${label} ${partOf(part)}`}
              must
            />
          ))}
        </div>
      );
    case "table":
      return <TableEntry {...props} keys={takes.keys} />;
    case "shapes":
      return <ShapesEntry {...props} takes={takes} />;
    case "named":
      return <NamedEntry {...props} takes={takes} />;
    case "either":
      return <EitherEntry {...props} takes={takes} />;
    default:
      return <TextEntry {...props} takes={takes} />;
  }
}
