import { describe, expect, it } from "vitest";
import { difference } from "../src/difference";
import type { Compared } from "../src/difference";
import type { Answer } from "../src/types";

function job(hold: Answer, says: string, mass: string): Compared {
  const verdict = { answer: "yes" as Answer, says: "so" };
  return {
    answers: {
      job: { title: "Hoe", hand: "right" },
      verdicts: { fit: verdict, cut: verdict, bend: verdict, hold: { answer: hold, says } },
      findings: [],
    },
    said: { mass, readings: [], mounts: [], cuts: [], bends: [] },
  };
}

describe("what an act did", () => {
  it("names every answer that changed, and the mass", () => {
    const says = difference(job("yes", "a", "0.350 kg (0.77 lb)"), job("no", "b", "0.310 kg (0.68 lb)"));
    expect(says).toBe("Hold: yes, now no; mass 0.350 kg (0.77 lb), now 0.310 kg (0.68 lb).");
  });

  it("says when another number decides, and when nothing changed", () => {
    expect(difference(job("yes", "a", "0.350 kg (0.77 lb)"), job("yes", "b", "0.350 kg (0.77 lb)"))).toContain("still yes");
    expect(difference(job("yes", "a", "0.350 kg (0.77 lb)"), job("yes", "a", "0.350 kg (0.77 lb)"))).toContain("as they were");
  });

  it("says when the job cannot be worked out, and when it can again", () => {
    const wrong: Compared = { answers: { wrong: [{ says: "no such point" }] }, said: null };
    expect(difference(job("yes", "a", "1.000 kg (2.20 lb)"), wrong)).toContain("cannot be worked out");
    expect(difference(wrong, job("yes", "a", "1.000 kg (2.20 lb)"))).toContain("again");
  });
});

describe("while the proof is under way", () => {
  it("says nothing of the answer of before, and that it is being worked out", () => {
    const after: Compared = { ...job("yes", "a", "0.310 kg (0.68 lb)"), working: ["hold"] };
    const says = difference(job("no", "b", "0.350 kg (0.77 lb)"), after);
    expect(says).toBe("mass 0.350 kg (0.77 lb), now 0.310 kg (0.68 lb). Hold is being worked out.");
    expect(difference(after, after)).toBe("The other answers are as they were. Hold is being worked out.");
  });
});
