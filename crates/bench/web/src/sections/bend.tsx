/** Bend: the order of bends. */

import { Rows } from "../rows";
import { from, type SectionDef } from "../section";

export const bend: SectionDef = {
  id: "bend",
  title: "Bend",
  question: "bend",
  lead: "Guards and two-hand controls stay as they are.",
  values: [
    from("shop", "bender", "Bending tools"),
    from("shop", "strips", "Test strips"),
    from("shop", "neutral", "The shop's own K-factors"),
  ],
  picture: { name: "bend-cards", called: "The bend cards" },
  rows: (summary, said) => (
    <Rows
      heads={["step", "bend", "bent through", "between the legs", "up", "gauge to the middle", "tool"]}
      rows={(summary.bend?.order ?? []).map((row, index) => [
        row.number,
        row.bend,
        said.bends[index]?.bent ?? "",
        said.bends[index]?.between_legs ?? "",
        row.face_up,
        said.bends[index]?.gauge_to_middle ?? "",
        row.tool,
      ])}
    />
  ),
};
