/** A button that opens a form for something new; leaving the form comes back to the button. */

import { useRef, useState } from "preact/hooks";
import { Press } from "../press";
import { AddForm, type AddFormProps } from "./add_form";

export function Adding({ called, ...form }: Omit<AddFormProps, "title" | "close"> & { called: string }) {
  const [open, setOpen] = useState(false);
  const box = useRef<HTMLDivElement>(null);
  const close = () => {
    setOpen(false);
    box.current?.querySelector("button")?.focus();
  };
  return (
    <div class="adding" ref={box}>
      <Press onPress={() => (open ? close() : setOpen(true))} plain expanded={open}>
        {called}
      </Press>
      {open && <AddForm {...form} title={called} close={close} />}
    </div>
  );
}
