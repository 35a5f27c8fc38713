import { describe, expect, it } from "vitest";
import { keptSame } from "../src/kept_same";

describe("what came anew", () => {
  const before = { files: { design: { values: ["a", { table: [["x", 1]] }] }, fit: null }, answers: { says: "yes" }, worked: 1 };
  const copy = () => JSON.parse(JSON.stringify(before)) as typeof before;

  it("is what was there where it is equal", () => {
    expect(keptSame(before, copy())).toBe(before);
  });

  it("has its own value, and the parts that are equal are those of before", () => {
    const next = copy();
    next.answers.says = "no";
    const kept = keptSame(before, next);
    expect(kept).toEqual(next);
    expect(kept.files).toBe(before.files);
    expect(kept.answers).not.toBe(before.answers);
  });

  it("tells what is missing, added, longer, shorter or of another kind from what was there", () => {
    for (const [was, is] of [
      [{ a: 1 }, {}],
      [{}, { a: null }],
      [{ a: undefined }, { b: undefined }],
      [[1, 2], [1]],
      [[1], [1, 2]],
      [[], {}],
      [{ a: null }, { a: {} }],
      [{ a: 0 }, { a: "" }],
      ["x", { a: 1 }],
    ] as [unknown, unknown][]) {
      const kept = keptSame(was, is);
      expect(kept).toStrictEqual(is);
      expect(kept).not.toBe(was);
    }
  });

  it("leaves both as they are", () => {
    const next = { ...copy(), worked: 2 };
    const text = JSON.stringify(next);
    keptSame(before, next);
    expect(JSON.stringify(next)).toBe(text);
    expect(JSON.stringify(copy())).toBe(JSON.stringify(before));
  });
});
