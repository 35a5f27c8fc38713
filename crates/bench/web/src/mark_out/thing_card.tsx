/** A hole, slot, window or crease that was chosen: what the design says of it, and what can be done with it. */

import { useEffect, useRef } from "preact/hooks";
import type { Desk } from "../desk";
import { keptEditor, type Tapping } from "../forms/editor";
import { Entry } from "../forms/entry";
import { FormBox, type Guard } from "../forms/form_box";
import { type Keys, takesAt } from "../forms/keys";
import { centres } from "../forms/names";
import { Press } from "../press";
import { at } from "../typed";
import type { Job, Typed } from "../types";
import { CardActs } from "./card_acts";
import type { Marking } from "./markings";
import type { Thing } from "./targets";
import { kindInWords, thingInWords, wayOf } from "./things";

export interface ThingCardProps {
  desk: Desk;
  job: Job;
  keys: Keys;
  thing: Thing;
  tapping: Tapping;
  begin: (marking: Marking, begun: Typed | undefined, name?: string) => void;
  follow: (from: string, to: string) => void;
  close: () => void;
  guard: Guard;
  markings: Marking[];
}

export function ThingCard({ desk, job, keys, thing, tapping, begin, follow, close, guard, markings }: ThingCardProps) {
  const heading = useRef<HTMLHeadingElement>(null);
  useEffect(() => {
    heading.current?.scrollIntoView?.({ block: "nearest" });
  }, []);
  const { is, name } = thing;
  const way = wayOf(thing);
  const value = at(job.files.design?.values, way);
  const takes = takesAt(keys.design, way);
  const editor = { ...keptEditor(desk, job, "design"), tapping };
  const point = markings.find((marking) => marking.id === "points");
  const out = () =>
    void desk.act("design", [{ act: "remove", at: way }], `${thingInWords(thing)} taken out`).then((good) => good && close());
  return (
    <FormBox title={`${kindInWords(thing)} ${name}`} said={null} close={close} guard={guard} heading={heading}>
      {(leave) => (
        <>
          <CardActs desk={desk} thing={thing} there={value !== undefined} out={out} leave={leave} follow={follow}>
            {point && is === "hole" && centres(job).includes(name) && (
              <Press plain onPress={() => begin(point, { table: [["from", name]] })}>
                Find a point from {name}
              </Press>
            )}
          </CardActs>
          {takes && value !== undefined ? (
            <Entry editor={editor} way={way} takes={takes} value={value} label={name} must />
          ) : (
            <p class="hint">The design has no {thingInWords(thing)} now.</p>
          )}
        </>
      )}
    </FormBox>
  );
}
