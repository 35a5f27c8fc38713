/** Fold and fit: the folded part on its mounts. */

import { from, type SectionDef } from "../section";
import { FoldBody } from "./folds";

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
  body: FoldBody,
};
