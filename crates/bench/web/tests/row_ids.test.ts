import { describe, expect, it } from "vitest";
import { followed, keysOf, nameNow } from "../src/forms/row_ids";

const ids = (...steps: string[][]) => steps.reduce<{ id: number; says: string }[]>((rows, now) => followed(rows, now), []).map(({ id }) => id);

describe("a row of a list", () => {
  it("stays itself when one before it is taken out, put back, or moved past it", () => {
    expect(ids(["a", "b", "c"])).toEqual([0, 1, 2]);
    expect(ids(["a", "b", "c"], ["b", "c"])).toEqual([1, 2]);
    expect(ids(["a", "b", "c"], ["b", "c"], ["a", "b", "c"])).toEqual([3, 1, 2]);
    expect(ids(["a", "b", "c"], ["b", "a", "c"])).toEqual([1, 0, 2]);
  });

  it("stays itself when something else is said in it", () => {
    expect(ids(["a", "b", "c"], ["a", "B", "c"])).toEqual([0, 1, 2]);
    expect(ids(["a", "a"], ["a", "a", "a"])).toEqual([0, 1, 2]);
  });
});

describe("a row with a name", () => {
  const none = new Map<string, string>();
  const keys = (before: Map<string, string>, names: string[], from: string, to: string) => keysOf(before, names, { from, to });

  it("stays itself when it is called otherwise, and when that is taken back", () => {
    const before = keysOf(none, ["A", "B"], null);
    const after = keys(before, ["heel", "B"], "A", "heel");
    expect(after.get("heel")).toBe(before.get("A"));
    expect(keys(after, ["A", "B"], "A", "heel").get("A")).toBe(before.get("A"));
  });

  it("is another than a new one by the old name, and than one that only looks as if it had been it", () => {
    const renamed = keys(keysOf(none, ["A"], null), ["heel"], "A", "heel");
    const both = keys(renamed, ["A", "heel"], "A", "heel");
    expect(both.get("heel")).toBe(renamed.get("heel"));
    expect(both.get("A")).not.toBe(both.get("heel"));
    // It was refused; somebody else added one by that name.
    const other = keys(keysOf(none, ["A"], null), ["heel", "A"], "A", "heel");
    expect(other.get("A")).toBe("A");
    expect(other.get("heel")).not.toBe("A");
  });

  it("is known by what it is called now", () => {
    expect(nameNow(["heel"], "A", { from: "A", to: "heel" })).toBe("heel");
    expect(nameNow(["A"], "heel", { from: "A", to: "heel" })).toBe("A");
    expect(nameNow(["A", "heel"], "A", { from: "A", to: "heel" })).toBe("A");
    expect(nameNow(["B"], "A", null)).toBe("A");
  });
});
