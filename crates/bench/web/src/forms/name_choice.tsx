/** A name: one of those that are there, or another that is typed. In a form with a picture, a tap there fills it too. */

import { useState } from "preact/hooks";
import { Field } from "../field";
import { Press } from "../press";
import type { Way } from "../types";
import { Choice } from "./choice";
import { DraftField } from "./draft_field";
import type { Editor } from "./editor";
import { slotKey } from "./slots";

/** More names than these stand behind a button. */
const IN_SIGHT_N = 10;

export interface NameChoiceProps {
  editor: Editor;
  way: Way;
  /** Which end of a line it is. */
  end?: 0 | 1;
  label: string;
  hint?: string;
  names: string[];
  value: string;
  choose: (name: string) => void;
  /** Told what is chosen and may be written next. */
  ahead?: (name: string) => void;
  /** The name may be left out. */
  optional?: boolean;
  point?: boolean;
}

const ANOTHER = "\u0000another";
const NONE = "\u0000none";

export function NameChoice({ editor, way, end, label, hint, names, value, choose, ahead, optional, point }: NameChoiceProps) {
  const [typing, setTyping] = useState(false);
  const [open, setOpen] = useState(false);
  const write = async (text: string) => {
    choose(text.trim());
    return true;
  };
  const { arming, kept, desk } = editor;
  const slot = { way: arming ? way.slice(arming.root.length) : way, end };
  const armed = Boolean(point && arming?.armed && slotKey(arming.armed) === slotKey(slot));
  const strange = value !== "" && !names.includes(value);
  const another = typing || strange;
  // What stands in a file is shown as it is; the others step in sight by a button.
  const many = names.length > IN_SIGHT_N || (kept && value !== "");
  const [stood, setStood] = useState(value);
  if (stood !== value) {
    setStood(value);
    if (kept) setOpen(false);
  }
  if (names.length === 0 && !point) {
    if (kept) return <Field desk={desk} file={editor.file} way={way} label={label} value={value || undefined} hint={hint} write={write} />;
    return <DraftField editor={editor} way={way} label={label} hint={hint} value={value} silent type={choose} />;
  }
  const shown = !many || open ? names : value !== "" && !strange ? [value] : [];
  const options = [
    ...(optional && !kept ? [{ value: NONE, says: "not said" }] : []),
    ...shown.map((name) => ({ value: name, says: name })),
    ...(!many || open || another ? [{ value: ANOTHER, says: "another" }] : []),
  ];
  const chosen = another ? ANOTHER : value === "" ? (optional && !kept ? NONE : null) : value;
  const take = (picked: string) => {
    setTyping(picked === ANOTHER);
    if (picked === ANOTHER) return;
    // In a file Keep is pressed yet, and the button has the focus when it goes.
    if (!kept) setOpen(false);
    choose(picked === NONE ? "" : picked);
  };
  return (
    <div class={armed ? "name armed" : "name"}>
      <Choice
        label={label}
        hint={hint}
        note={armed ? "(a tap in the picture fills this)" : undefined}
        options={options}
        value={chosen}
        choose={take}
        ahead={ahead}
        // What is typed has a Keep of its own.
        free={[ANOTHER]}
        keep={kept}
        busy={desk.busy}
      />
      <div class="typed">
        {many && (
          <Press onPress={() => setOpen(!open)} plain expanded={open} says={`${open ? "Fewer" : kept ? "Change" : `Choose from ${names.length}`}: ${label}`}>
            {open ? "Fewer" : kept ? "Change" : `Choose from ${names.length}`}
          </Press>
        )}
        {point && arming && !armed && (
          <Press onPress={() => arming.arm(slot)} plain says={`${label}: tap it in the picture`}>
            Tap it in the picture
          </Press>
        )}
      </div>
      {another &&
        (kept ? (
          <Field desk={desk} file={editor.file} way={way} label={`${label}, another name`} value={value || undefined} write={write} />
        ) : (
          <DraftField editor={editor} way={way} label={`${label}, another name`} value={value} silent type={choose} />
        ))}
    </div>
  );
}
