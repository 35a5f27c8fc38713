/** What can be chosen in the picture, in words and in the file. */

import { TABLE_OF } from "../forms/named";
import { oneOf } from "../forms/words";
import { at, rowsOf } from "../typed";
import type { Typed, Way } from "../types";
import type { Thing } from "./targets";

/** The row of the design that says it. */
export function wayOf({ is, name }: Thing): Way {
  return [TABLE_OF[is], name];
}

/** "Hole". */
export function kindInWords({ is }: Pick<Thing, "is">): string {
  const noun = oneOf([TABLE_OF[is]]);
  return noun.charAt(0).toUpperCase() + noun.slice(1);
}

/** "hole h1". */
export function thingInWords({ is, name }: Thing): string {
  return `${oneOf([TABLE_OF[is]])} ${name}`;
}

/** The names that things of a kind have in the design. */
export function namesOfKind(design: Typed | undefined, is: Thing["is"]): string[] {
  return rowsOf(at(design, [TABLE_OF[is]])).map(([name]) => name);
}
