/** Make: what is written for the shop. */

import { from, type SectionDef } from "../section";

export const make: SectionDef = {
  id: "make",
  title: "Make",
  lead:
    "Print this page from the browser's menu, with the drawings in it. `gusset make` writes the 1:1 template, the program for the table, " +
    "the cards and the solids as files.",
  values: [
    from("shop", "title", "The shop"),
    from("shop", "handbook", "Values that this shop knows better"),
  ],
};
