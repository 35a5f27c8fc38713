import { describe, expect, it } from "vitest";
import { asTyped, at, inWords, numberOf, rowsOf, wayInWords } from "../src/typed";
import type { Typed } from "../src/types";

const FILE: Typed = {
  table: [
    ["units", "in"],
    ["points", { table: [["B", ["4-1/2 in", "0"]], ["A", { table: [["from", "B"]] }]] }],
    ["readings", [{ table: [["read", "114 mm"]] }]],
  ],
};

describe("values as typed", () => {
  it("are found by their place, and nothing is where nothing is", () => {
    expect(at(FILE, ["points", "B", 0])).toBe("4-1/2 in");
    expect(at(FILE, ["readings", 0, "read"])).toBe("114 mm");
    for (const way of [["points", "Z"], ["readings", 3], ["units", 0], ["units", "x"], ["points", 0]]) {
      expect(at(FILE, way)).toBeUndefined();
    }
  });

  it("keep the order of the file", () => {
    expect(rowsOf(at(FILE, ["points"])).map(([key]) => key)).toEqual(["B", "A"]);
    expect(rowsOf("in")).toEqual([]);
  });

  it("are called by words, rows from 1", () => {
    expect(wayInWords(["readings", 0, "read"])).toBe("readings 1 read");
    expect(inWords("per_day")).toBe("per day");
  });

  it("stay numbers when they were, and text when they are none", () => {
    expect(asTyped(600, "700")).toBe(700);
    expect(asTyped(600, "often")).toBe("often");
    expect(asTyped(600, " ")).toBe(" ");
    expect(asTyped("60", "61")).toBe("61");
  });
});

it("a number has a point or a comma, and one that may be either is none", () => {
  expect(numberOf(" 2,5 ")).toBe(2.5);
  expect(numberOf("1000")).toBe(1000);
  expect(numberOf("0,125")).toBe(0.125);
  for (const text of ["", "often", "1,000", "12,500,000"]) expect(numberOf(text)).toBeNull();
});
