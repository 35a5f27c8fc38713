/** Mark out: points, the outline, holes, windows and bends. */

import { MarkingOut } from "../mark_out/marking_out";
import { from, type SectionDef } from "../section";

export const markOut: SectionDef = {
  id: "mark-out",
  title: "Mark out",
  lead: "Points, the outline through them, holes, windows and bends.",
  body: ({ desk, job }) => <MarkingOut desk={desk} job={job} />,
  values: [
    from("design", "points", "Points"),
    from("design", "outline", "Outline"),
    from("design", "bends", "Bends"),
    from("design", "holes", "Holes"),
    from("design", "slots", "Slots"),
    from("design", "windows", "Windows"),
    from("design", "panels", "Panels"),
    from("design", "seams", "Seams"),
    from("design", "marks", "Marks"),
    from("design", "card", "The card of the mock-up"),
    from("design", "plate", "Plate"),
  ],
  picture: { name: "blank", called: "The blank" },
};
