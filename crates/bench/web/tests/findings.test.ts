import { describe, expect, it } from "vitest";
import { elsewhere } from "../src/findings";
import type { Finding } from "../src/types";

const finding = (level: Finding["level"], question: Finding["question"]): Finding => ({ code: "c", level, question, about: "a", says: "s" });

describe("what stands elsewhere", () => {
  it("is counted by section, in the order of the questions", () => {
    const all = [finding("care", "hold"), finding("care", "fit"), finding("care", "hold"), finding("note", "cut"), finding("stop", "bend")];
    expect(elsewhere(all)).toBe("To look at before going on: 1 under Fold and fit, 2 under Hold.");
  });
  it("is nothing where there are only notes, and is not said where something stops", () => {
    expect(elsewhere([finding("note", "cut")])).toBe("Nothing stands against it.");
    expect(elsewhere([finding("stop", "cut")])).toBe("");
  });
});
