/** Hold: loads, stress and movement. */

import { Rows } from "../rows";
import { from, type SectionDef } from "../section";
import { HeldBody } from "./held";

export const hold: SectionDef = {
  id: "hold",
  title: "Hold",
  question: "hold",
  lead: "For the loads listed. A fall, a jam or another person can be more; prove the part on the bench.",
  values: [
    from("fit", "loads", "Loads"),
    from("fit", "together", "Together"),
    from("fit", "limits", "Limits"),
    from("fit", "never", "What never happens"),
    from("fit", "proof", "The proof on the bench"),
    from("shop", "welder", "Welder"),
  ],
  body: HeldBody,
  picture: { name: "stress", called: "Stress and movement" },
  rows: (summary) => (
    <Rows
      heads={["check", "under", "of its limit"]}
      rows={(summary.prove?.checks ?? []).map((row) => [row.says, row.load, `${(100 * row.used).toFixed(0)} %`])}
    />
  ),
};
