/** One point that was chosen: how it is found, and what can be done at it. */

import { useEffect, useRef } from "preact/hooks";
import { keptEditor } from "../forms/editor";
import { Entry } from "../forms/entry";
import { FormBox } from "../forms/form_box";
import { takesAt } from "../forms/keys";
import { outlineOf } from "../forms/names";
import { Press } from "../press";
import { at, rowsOf } from "../typed";
import type { Typed } from "../types";
import { CardActs } from "./card_acts";
import type { ThingCardProps } from "./thing_card";

export type PointCardProps = Omit<ThingCardProps, "thing"> & { name: string };

/** What of the design names this point, in words. */
export function usesOf(design: Typed | undefined, name: string): string[] {
  const uses: string[] = [];
  const names = (value: Typed | undefined): boolean => {
    if (typeof value === "string") return value === name || value.split("-").includes(name);
    if (Array.isArray(value)) return value.some(names);
    return rowsOf(value).some(([, row]) => names(row));
  };
  for (const [table, one] of Object.entries({ points: "point", bends: "crease", holes: "hole", slots: "slot", windows: "window", panels: "panel", seams: "seam", marks: "scribed mark" })) {
    for (const [other, row] of rowsOf(at(design, [table]))) {
      if (!(table === "points" && other === name) && names(row)) uses.push(`${one} ${other}`);
    }
  }
  const readings = at(design, ["readings"]);
  if (Array.isArray(readings)) readings.forEach((row, index) => names(row) && uses.push(`reading ${index + 1}`));
  if (names(at(design, ["outline", "through"]))) uses.unshift("the outside edge");
  return uses;
}

export function PointCard({ desk, job, keys, name, tapping, begin, follow, close, guard, markings }: PointCardProps) {
  const heading = useRef<HTMLHeadingElement>(null);
  useEffect(() => {
    heading.current?.scrollIntoView?.({ block: "nearest" });
  }, []);
  const design = job.files.design?.values;
  const value = at(design, ["points", name]);
  const takes = takesAt(keys.design, ["points", name]);
  const editor = { ...keptEditor(desk, job, "design"), tapping };
  const uses = usesOf(design, name);
  const corner = at(design, ["outline", "corners", name]);
  const cornerTakes = takesAt(keys.design, ["outline", "corners", name]);
  const marking = (id: string) => markings.find((marking) => marking.id === id);
  const [point, hole, corners] = [marking("points"), marking("holes"), marking("corners")];
  const out = () => void desk.act("design", [{ act: "remove", at: ["points", name] }], `point ${name} taken out`).then((good) => good && close());
  return (
    <FormBox title={`Point ${name}`} said={null} close={close} guard={guard} heading={heading}>
      {(leave) => (
        <>
          <p>{uses.length > 0 ? `In use by ${uses.join(", ")}.` : "Nothing uses it yet."}</p>
          <CardActs desk={desk} thing={{ is: "point", name }} there={value !== undefined} out={out} leave={leave} follow={follow}>
            {point && (
              <Press plain onPress={() => begin(point, { table: [["from", name]] })}>
                Find a point from {name}
              </Press>
            )}
            {hole && (
              <Press plain onPress={() => begin(hole, { table: [["at", name]] })}>
                Put a hole at {name}
              </Press>
            )}
            {corners && corner === undefined && outlineOf(job).includes(name) && (
              <Press plain onPress={() => begin(corners, undefined, name)}>
                Work the corner {name}
              </Press>
            )}
          </CardActs>
          {takes && value !== undefined ? (
            <Entry editor={editor} way={["points", name]} takes={takes} value={value} label={name} must />
          ) : (
            <p class="hint">The design has no point {name} now.</p>
          )}
          {cornerTakes && corner !== undefined && (
            <Entry editor={editor} way={["outline", "corners", name]} takes={cornerTakes} value={corner} label={`corner ${name}`} must />
          )}
        </>
      )}
    </FormBox>
  );
}
