/** Ask: what it is for, and who may depend on it. */

import { from, type SectionDef } from "../section";

export const ask: SectionDef = {
  id: "ask",
  title: "Ask",
  lead: "What is it for, and who may depend on it?",
  values: [
    from("design", "title", "What it is called"),
    from("design", "about", "What it is for"),
    from("design", "revision", "Revision of the design"),
    from("design", "hand", "The hand it is drawn for"),
    from("fit", "title", "What this fit is called"),
    from("fit", "hand", "The hand of this fit"),
    from("fit", "care", "The five questions"),
  ],
};
