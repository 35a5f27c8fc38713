/** What a person types over what stands in the file: nothing of it goes until it is kept or put back. */

import { createContext } from "preact";
import { useContext, useLayoutEffect, useRef, useState } from "preact/hooks";

/** Texts that are typed and not kept yet, by what they are typed for: they outlive the fields. */
export type Unkept = Map<string, string>;

/** Counts the fields of a form that have something in them which is not written: whoever leaves the form is told. */
export const Unwritten = createContext<((by: 1 | -1) => void) | null>(null);

/** Tells the form that this stands in that something of it is not written. */
export function useUnwritten(changed: boolean): void {
  const count = useContext(Unwritten);
  useLayoutEffect(() => {
    if (!count || !changed) return;
    count(1);
    return () => count(-1);
  }, [count, changed]);
}

export interface Typing {
  text: string;
  /** Something else than stands there. */
  changed: boolean;
  /** It was typed over something else than stands there now. */
  overtaken: boolean;
  type(text: string): void;
  putBack(): void;
  /** Sends what is typed. Once it is written the field has what stands then, unless it was typed in meanwhile; where it is not
   * written, what was typed stands in it still, also after it was shown as written. */
  sent(asked: Promise<boolean>): void;
}

export function useTyping(stands: string, unkept?: Unkept, key = ""): Typing {
  const [text, setText] = useState(() => unkept?.get(key) ?? stands);
  const [stood, setStood] = useState(stands);
  /** What stood there when typing began. */
  const [over, setOver] = useState(stands);
  if (stood !== stands) {
    setStood(stands);
    // What the file says now goes into a field that nobody has typed in.
    if (text === stood) setText(stands);
    if (text === stood || text === stands) setOver(stands);
  }
  const changed = text !== stands;
  useUnwritten(changed);
  const now = useRef({ text, stands });
  now.current = { text, stands };
  const put = (text: string) => {
    setText(text);
    if (text === stands) unkept?.delete(key);
    else unkept?.set(key, text);
  };
  const type = (next: string) => {
    if (!changed) setOver(stands);
    put(next);
  };
  const putBack = () => {
    setOver(stands);
    put(stands);
  };
  const sent = (asked: Promise<boolean>) => {
    const was = text;
    void asked.then((good) => {
      if (!good) {
        if (now.current.text === now.current.stands) put(was);
        return;
      }
      if (unkept?.get(key) === was) unkept.delete(key);
      // What is typed meanwhile is typed over what was just written.
      setOver(now.current.stands);
      if (now.current.text === was) setText(now.current.stands);
    });
  };
  return { text, changed, overtaken: changed && over !== stands, type, putBack, sent };
}
