/** A button that opens a form for something new, and leaves it; leaving the form comes back to the button. */

import { useRef, useState } from "preact/hooks";
import { Press } from "../press";
import { AddForm, type AddFormProps } from "./add_form";
import type { Guard } from "./form_box";

export function Adding({ called, ...form }: Omit<AddFormProps, "title" | "close" | "guard"> & { called: string }) {
  const [open, setOpen] = useState(false);
  const opener = useRef<HTMLButtonElement>(null);
  const guard: Guard = useRef(null);
  const close = () => {
    setOpen(false);
    opener.current?.focus();
  };
  const press = () => {
    if (!open) setOpen(true);
    else if (!guard.current?.()) close();
  };
  return (
    <div class="adding">
      <Press onPress={press} plain expanded={open} button={opener}>
        {called}
      </Press>
      {open && <AddForm {...form} title={called} close={close} guard={guard} />}
    </div>
  );
}
