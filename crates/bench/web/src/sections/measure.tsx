/** Measure: readings, and what corrects them. */

import { Measuring } from "../measure/measuring";
import { Rows } from "../rows";
import { from, type SectionDef } from "../section";

export const measure: SectionDef = {
  id: "measure",
  title: "Measure",
  lead: "What the tape said, and what corrects it.",
  body: ({ desk, job }) => <Measuring desk={desk} job={job} />,
  values: [
    from("fit", "measures", "Measures of this body"),
    from("design", "measures", "Measures of the design"),
    from("design", "readings", "Readings"),
    from("design", "survey", "How readings are taken"),
    from("fit", "places", "Places on the machine"),
    from("fit", "place_readings", "Readings of places"),
    from("shop", "instruments", "How sure the instruments are"),
  ],
  rows: (summary, said) => (
    <Rows
      heads={["reading", "read", "off by", "looks like a slip"]}
      rows={(summary.survey?.readings ?? []).map((row, index) => [
        row.about,
        row.read,
        said.readings[index] ?? "",
        row.suspect ? "yes" : "no",
      ])}
    />
  ),
};
