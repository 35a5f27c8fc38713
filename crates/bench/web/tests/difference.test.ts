import { describe, expect, it } from "vitest";
import { difference } from "../src/difference";
import type { Answer, Summary } from "../src/types";

function summary(hold: Answer, says: string, mass_kg: number): Summary {
  const verdict = { answer: "yes" as Answer, says: "so" };
  return {
    job: { title: "Hoe", hand: "right" },
    verdicts: { fit: verdict, cut: verdict, bend: verdict, hold: { answer: hold, says } },
    findings: [],
    folded: { mass_kg },
  };
}

describe("what an act did", () => {
  it("names every answer that changed, and the mass", () => {
    const says = difference(summary("yes", "a", 0.35), summary("no", "b", 0.31));
    expect(says).toBe("Hold: yes, now no; mass 0.350 kg, now 0.310 kg.");
  });

  it("says when another number decides, and when nothing changed", () => {
    expect(difference(summary("yes", "a", 0.35), summary("yes", "b", 0.35))).toContain("still yes");
    expect(difference(summary("yes", "a", 0.35), summary("yes", "a", 0.35000001))).toContain("as they were");
  });

  it("says when the job cannot be worked out, and when it can again", () => {
    const wrong = { wrong: [{ says: "no such point" }] };
    expect(difference(summary("yes", "a", 1), wrong)).toContain("cannot be worked out");
    expect(difference(wrong, summary("yes", "a", 1))).toContain("again");
  });
});
