/** Fold and fit: the folded part on its mounts. */

import { Rows } from "../rows";
import { from, type SectionDef } from "../section";

export const fold: SectionDef = {
  id: "fold",
  title: "Fold and fit",
  question: "fit",
  lead: "The folded part on its mounts.",
  values: [
    from("fit", "mounts", "Mounts"),
    from("fit", "support", "Support"),
    from("fit", "keep_outs", "Keep-outs"),
    from("fit", "down", "Which way is down"),
  ],
  picture: { name: "folded", called: "The folded part" },
  rows: (summary, said) => (
    <Rows
      heads={["mount", "off its hole by", "may be off"]}
      rows={(summary.fit?.mounts ?? []).map((row, index) => [
        row.name,
        said.mounts[index]?.offset ?? "",
        said.mounts[index]?.allowed ?? "",
      ])}
    />
  ),
};
