/** A job from a design that another person drew: the text of design.toml, chosen or pasted, and one's own care. */

import { useCallback, useId, useRef, useState } from "preact/hooks";
import { troubleOf } from "../desk";
import { Press } from "../press";
import type { Server } from "../server";
import { type Answers, asking, type Looked, looked } from "./asking";
import { Questions } from "./questions";

/** Longer than the server takes, bytes: a whole design is some thousand. */
const LONGEST = 200_000;

interface SharedDesignProps {
  server: Server;
  /** The text of the design as it is typed or chosen. */
  text: string;
  type: (text: string) => void;
  answers: Answers;
  set: (change: (before: Answers) => Answers) => void;
  start: () => void;
}

export function SharedDesign({ server, text, type, answers, set, start }: SharedDesignProps) {
  const [found, setFound] = useState<{ of: string; design: Looked } | null>(null);
  const [says, setSays] = useState("");
  const id = useId();
  const title = useRef<HTMLHeadingElement>(null);
  const ask = useCallback((answers: Answers) => asking(server, "shared-design", answers, text), [server, text]);
  const look = () => {
    looked(server, text)
      .then((design) => {
        setFound({ of: text, design });
        setSays(`It is a design: ${design.title}.`);
        requestAnimationFrame(() => title.current?.focus());
      })
      .catch((error: unknown) => setSays(troubleOf(error).says));
  };
  const choose = (file: File | undefined) => {
    if (!file) return;
    if (file.size > LONGEST) {
      setSays(`${file.name} is too long for a design.`);
      return;
    }
    file
      .text()
      .then((chosen) => {
        type(chosen);
        setSays(`${file.name} is read. Look at it next.`);
      })
      .catch(() => setSays(`${file.name} cannot be read.`));
  };
  return (
    <>
      <p>Take only the design, not another person's fit: where it is fastened and what it carries is yours to say. Nothing of it leaves this machine.</p>
      <div class="field shared">
        <label for={`${id}-file`}>The file design.toml</label>
        <input id={`${id}-file`} type="file" accept=".toml,text/plain" onChange={(event) => choose(event.currentTarget.files?.[0])} />
      </div>
      <div class="field shared">
        <label for={`${id}-text`}>Or its text, pasted</label>
        <textarea
          id={`${id}-text`}
          rows={8}
          spellcheck={false}
          autocapitalize="off"
          maxLength={LONGEST}
          value={text}
          onInput={(event) => type(event.currentTarget.value)}
        />
      </div>
      <Press onPress={look} waits={text.trim() === ""}>
        Look at it
      </Press>
      <p class="told" role="status">
        {says}
      </p>
      {found && found.of === text && (
        <>
          <h3 ref={title} tabIndex={-1}>
            {found.design.title}
          </h3>
          {found.design.about && <p>{found.design.about}</p>}
          <p>Of {found.design.stock}.</p>
          <Questions
            server={server}
            ask={ask}
            answers={answers}
            set={set}
            begin="Start from this design"
            start={start}
          />
        </>
      )}
    </>
  );
}
