/**
 * Calls something of the design otherwise: one act for the design and every fit, and one step back. What it stands in keeps its
 * place on the page, and so does the focus.
 */

import { useEffect, useRef, useState } from "preact/hooks";
import type { Desk } from "../desk";
import { Press } from "../press";
import { TextInput } from "../text_input";
import type { Named } from "../types";
import { useTyping } from "../typing";
import { FormBox } from "./form_box";
import { TABLE_OF } from "./named";
import { oneOf } from "./words";

export interface RenamingProps {
  desk: Desk;
  what: Named;
  name: string;
  /** Told before it is sent, so that what shows it is not taken for something else afterwards. */
  follow: (from: string, to: string) => void;
}

export function Renaming({ desk, what, name, follow }: RenamingProps) {
  const { text, changed, overtaken, type, putBack, sent } = useTyping(name);
  const [open, setOpen] = useState(false);
  const [says, setSays] = useState("");
  const [failed, setFailed] = useState(false);
  const opener = useRef<HTMLButtonElement>(null);
  const heading = useRef<HTMLHeadingElement>(null);
  const input = useRef<HTMLInputElement>(null);
  const guard = useRef<(() => string | null) | null>(null);
  const noun = oneOf([TABLE_OF[what]]);
  const title = `Rename ${noun} ${name}`;
  useEffect(() => {
    if (!open) return;
    input.current?.focus();
    input.current?.select();
  }, [open]);

  const told = (says: string, failed = false) => {
    setSays(says);
    setFailed(failed);
  };
  const shut = () => {
    told("");
    setOpen(false);
    opener.current?.focus();
  };
  const close = () => {
    putBack();
    shut();
  };
  const press = () => {
    if (!open) setOpen(true);
    else if (!guard.current?.()) close();
  };
  const rename = async () => {
    if (desk.busy) return;
    const to = text.trim();
    if (to === "" || to === name) {
      told(to === "" ? "Type its new name." : `It is called ${name} already.`);
      return;
    }
    told("");
    follow(name, to);
    const asked = desk.act("design", [{ act: "rename", what, from: name, to }], `${noun} ${name} renamed ${to}`);
    sent(asked);
    if (await asked) shut();
    else told("", true);
  };
  const key = (event: KeyboardEvent) => {
    if (event.key === "Escape" && changed) {
      event.stopPropagation();
      putBack();
      told("");
    }
    if (event.key === "Enter") {
      event.preventDefault();
      void rename();
    }
  };
  return (
    <>
      <Press onPress={press} plain expanded={open} button={opener}>
        {title}
      </Press>
      {open && (
        <div class="beneath">
          <FormBox title={title} said={changed ? text : null} close={close} guard={guard} heading={heading}>
            {(leave) => (
              <div class="field">
                <TextInput
                  label="Its new name"
                  hint="Letters, digits and underscores, a letter first. Whatever names it, in the design and in every fit, follows."
                  value={text}
                  type={(text) => {
                    told("");
                    type(text);
                  }}
                  press={key}
                  input={input}
                  says={
                    <>
                      {overtaken && `It is called ${name} now. `}
                      {says}
                      {failed && desk.trouble && `Not renamed: ${desk.trouble.says}`}
                    </>
                  }
                >
                  <Press onPress={() => void rename()} waits={desk.busy}>
                    Rename it
                  </Press>
                  <Press onPress={leave} plain>
                    Leave it
                  </Press>
                </TextInput>
              </div>
            )}
          </FormBox>
        </div>
      )}
    </>
  );
}
