/** Cut: the plan for the cutting table. */

import { Rows } from "../rows";
import { from, type SectionDef } from "../section";

export const cut: SectionDef = {
  id: "cut",
  title: "Cut",
  question: "cut",
  lead: "As the machine's book and local codes say; the arc blinds, the fume is poison, the edge is hot.",
  values: [
    from("shop", "cutter", "Cutter"),
    from("shop", "stock", "Sheets"),
    from("shop", "kerfs", "Kerf tests"),
  ],
  picture: { name: "cut-sheet", called: "The sheet for the cutting table" },
  rows: (summary, said) => (
    <Rows
      heads={["cut", "what", "length"]}
      rows={(summary.cut?.order ?? []).map((row, index) => [row.number, row.name, said.cuts[index] ?? ""])}
    />
  ),
};
