import { describe, expect, it } from "vitest";
import { followed } from "../src/forms/row_ids";

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
