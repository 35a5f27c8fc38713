import { describe, expect, it } from "vitest";
import type { MeasureItem } from "../src/measure/measured";
import { actsOfInstrument, actsOfNew, beside, firstOf, instrumentWay, itemKey, unkeptKey } from "../src/measure/order";
import type { Typed } from "../src/types";

const item = (way: MeasureItem["way"], more: Partial<MeasureItem> = {}): MeasureItem => ({
  index: null, file: "design", way, label: "", about: "", typed: "1", with: null, kind: "reading", understood: null, expected: null,
  band: null, low_mm: null, high_mm: null, off: null, suspect: false, did_you_mean: [], ask: null, points: [], ...more,
});

describe("one reading at a time", () => {
  const [a, b, c] = [item(["readings", 0, "read"]), item(["readings", 1, "read"], { suspect: true }), item(["readings", 2, "read"], { typed: null })];

  it("begins with what is not measured, then with what looks like a slip", () => {
    expect(firstOf([a, b, c])).toBe(c);
    expect(firstOf([a, b])).toBe(b);
    expect(firstOf([])).toBeUndefined();
  });

  it("goes on to the next, and from the last to the first", () => {
    expect(beside([a, b, c], a, 1)).toBe(b);
    expect(beside([a, b, c], c, 1)).toBe(a);
    expect(beside([a, b, c], a, -1)).toBe(c);
    expect(itemKey(a)).not.toBe(itemKey(b));
  });
});

it("what is typed for a reading stays with it when a row before it is taken out, and is not another's", () => {
  const row = (number: number, label: string) => item(["readings", number, "read"], { label });
  const before = [row(0, "A to B"), row(2, "A to C"), row(1, "A to C")];
  const after = [row(1, "A to C"), row(0, "A to C")];
  const keys = (items: MeasureItem[]) => items.map((one) => unkeptKey(items, one));
  expect(keys(before).slice(1)).toEqual(keys(after));
  expect(new Set(keys(before)).size).toBe(3);
});

const DESIGN: Typed = {
  table: [
    ["points", { table: [["A", ["1", "2"]], ["C", { table: [["swing", [["A", "3"], ["B", "4"]]], ["side", "left"]] }]] }],
    ["measures", { table: [["rise", { table: [["value", "60"]] }]] }],
    ["readings", [{ table: [["between", ["A", "C"]], ["read", "5"]] }]],
  ],
};

describe("the instrument of a reading", () => {
  it("stands beside it, also where the number is deep in a point", () => {
    expect(instrumentWay(DESIGN, ["readings", 0, "read"])).toEqual(["readings", 0, "with"]);
    expect(instrumentWay(DESIGN, ["points", "C", "swing", 1, 1])).toEqual(["points", "C", "with"]);
    expect(instrumentWay(DESIGN, ["points", "A", 0])).toBeNull();
  });

  it("makes a table of a point that is two numbers alone", () => {
    expect(actsOfInstrument(DESIGN, item(["points", "A", 0], { kind: "point" }), "rule")).toEqual([
      { act: "set", at: ["points", "A"], to: { at: ["1", "2"] } },
      { act: "set", at: ["points", "A", "with"], to: "rule" },
    ]);
    expect(actsOfInstrument(DESIGN, item(["measures", "rise", "value"], { kind: "measure" }), "rule")).toBeNull();
    expect(actsOfInstrument(DESIGN, item(["readings", 0, "read"]), null)).toEqual([{ act: "remove", at: ["readings", 0, "with"] }]);
  });
});

it("a reading that would help is added as a row, with what it was read with", () => {
  const acts = actsOfNew({ between: ["A", "D"], why: "", expected: null, band: null }, 1, "51.5", "caliper");
  expect(acts).toEqual([
    { act: "add", at: ["readings"], to: { between: ["A", "D"] } },
    { act: "set", at: ["readings", 1, "read"], to: "51.5" },
    { act: "set", at: ["readings", 1, "with"], to: "caliper" },
  ]);
});
