import { describe, expect, it } from "vitest";
import { actsToAdd, actsToWrite } from "../src/forms/acts";
import { asDraft, drafted } from "../src/forms/add_form";
import { blank, blankShape, builtOf, missing, moved, put } from "../src/forms/draft";
import { offered } from "../src/forms/either_entry";
import { type Key, POINT, shapeOf, type Takes, takesAt } from "../src/forms/keys";

const LENGTH: Takes = { is: "sum", of: "length" };
const key = (name: string, takes: Takes, must = true): Key => ({ name, takes, must, says: name, example: "" });
const TWO: Takes = { is: "list", of: LENGTH, least: 2, most: 2 };
const POINTS: Takes = {
  is: "either",
  any: [
    TWO,
    {
      is: "shapes",
      shapes: [
        { lead: "at", keys: [key("at", TWO), key("exact", { is: "flag" }, false)] },
        { lead: "toward", keys: [key("from", POINT), key("toward", POINT), key("along", LENGTH), key("off", LENGTH, false)] },
        { lead: "swing", keys: [key("swing", { is: "list", of: { is: "pair", first: POINT, second: LENGTH }, least: 2, most: 2 }), key("side", { is: "word", one_of: ["left", "right"] })] },
        { lead: "where", keys: [key("where", { is: "list", of: { is: "line" }, least: 2, most: 2 })] },
      ],
    },
  ],
};
const SHAPES = POINTS.is === "either" && POINTS.any[1]?.is === "shapes" ? POINTS.any[1].shapes : [];
const shape = (lead: string) => {
  const found = SHAPES.find((shape) => shape.lead === lead);
  if (!found) throw new Error(lead);
  return found;
};

describe("a value built from the keys", () => {
  it("is told what is still to be said, and leaves out what may be left out", () => {
    let draft = put(blankShape(shape("toward"), undefined), ["from"], "A");
    expect(missing(POINTS, draft, "point")).toEqual(["toward", "along"]);
    draft = put(put(draft, ["toward"], "B"), ["along"], " 30 mm ");
    expect(missing(POINTS, draft, "point")).toEqual([]);
    expect(builtOf(POINTS, draft)).toEqual({ from: "A", toward: "B", along: "30 mm" });
    expect(builtOf(POINTS, put(draft, ["off"], ""))).toEqual({ from: "A", toward: "B", along: "30 mm" });
    expect(builtOf(POINTS, put(draft, ["off"], "5"))).toEqual({ from: "A", toward: "B", along: "30 mm", off: "5" });
  });

  it("is the short form where nothing more is said of it", () => {
    let draft: ReturnType<typeof put> = blankShape(shape("at"), undefined);
    draft = put(put(draft, ["at", 0], "25 mm"), ["at", 1], "30 mm");
    expect(builtOf(POINTS, draft)).toEqual(["25 mm", "30 mm"]);
    expect(builtOf(POINTS, put(draft, ["exact"], true))).toEqual({ at: ["25 mm", "30 mm"], exact: true });
  });

  it("has every part of a swing and of a crossing", () => {
    let draft: ReturnType<typeof put> = blankShape(shape("swing"), undefined);
    expect(draft).toEqual({ table: [["swing", [["", ""], ["", ""]]], ["side", ""]] });
    for (const [way, to] of [[["swing", 0, 0], "A"], [["swing", 0, 1], "50"], [["swing", 1, 0], "B"], [["side"], "left"]] as const) {
      draft = put(draft, [...way], to);
    }
    expect(missing(POINTS, draft, "point")).toHaveLength(1);
    draft = put(draft, ["swing", 1, 1], "45");
    expect(builtOf(POINTS, draft)).toEqual({ swing: [["A", "50"], ["B", "45"]], side: "left" });
    const lines = put(put(blankShape(shape("where"), undefined), ["where", 0], "A-C"), ["where", 1], "B-");
    expect(missing(POINTS, lines, "point")).toEqual(["where, second line"]);
  });

  it("keeps what it can when it is said in another way", () => {
    const before = { table: [["from", "A"], ["reach", "20"], ["with", "rule"]] as [string, string][] };
    expect(blankShape(shape("toward"), before)).toEqual({ table: [["from", "A"], ["toward", ""], ["along", ""]] });
    // Two numbers alone are those of the form that takes them.
    expect(blankShape(shape("at"), ["1", "2"])).toEqual({ table: [["at", ["1", "2"]]] });
  });

  it("goes round: what was built, put into a draft, builds the same", () => {
    for (const built of [{ from: "A", toward: "B", along: "30 mm" }, { at: ["1", "2"], exact: true }, { where: ["A-C", "B-D"] }]) {
      expect(builtOf(POINTS, asDraft(built))).toEqual(built);
    }
    expect(shapeOf(SHAPES, asDraft({ swing: [["A", "1"], ["B", "2"]], side: "left" }))?.lead).toBe("swing");
  });

  it("is a number where numbers are taken, and what was typed where it is none", () => {
    const takes: Takes = { is: "table", keys: [key("per_day", { is: "number" })] };
    expect(builtOf(takes, asDraft({ per_day: "600" }))).toEqual({ per_day: 600 });
    expect(builtOf(takes, asDraft({ per_day: "0,5" }))).toEqual({ per_day: 0.5 });
    expect(builtOf(takes, asDraft({ per_day: "often" }))).toEqual({ per_day: "often" });
    expect(builtOf({ is: "flag" }, false)).toBe(false);
  });

  it("asks for as many rows as there must be", () => {
    const inside: Takes = { is: "list", of: POINT, least: 3, most: 2000 };
    expect(blank(inside)).toEqual([]);
    expect(missing(inside, ["A"], "inside")).toEqual(["inside: 2 more"]);
    expect(missing(inside, ["A", "B", "C"], "inside")).toEqual([]);
  });

  it("says in a person's words what is left, with the field that it is said in", () => {
    const says = (name: string, takes: Takes, says: string): Key => ({ name, takes, must: true, says, example: "" });
    const hole: Takes = {
      is: "table",
      keys: [
        says("at", { is: "either", any: [POINT, TWO] }, "the centre: a point, or across and up, which makes a point of the hole's own name"),
        says("dia", LENGTH, "the diameter"),
      ],
    };
    expect(missing(hole, blank(hole), "hole")).toEqual(["the centre (at)", "the diameter (dia)"]);
    const across = put(blank(hole), ["at"], ["", "5"]);
    expect(missing(hole, across, "hole")[0]).toBe("the centre (at across)");
    const ends: Takes = { is: "list", of: POINT, least: 2, most: 2 };
    const crease: Takes = { is: "table", keys: [says("line", { is: "either", any: [ends, { is: "line" }] }, 'the two ends of the crease, as ["D", "E"] or "D-E"')] };
    expect(missing(crease, blank(crease), "crease")).toEqual(["the two ends of the crease (line, one end; line, the other end)"]);
    const shapes: Takes = { is: "shapes", shapes: [] };
    expect(missing(shapes, null, "hole")).toEqual(["how the hole is said"]);
  });

  it("does not offer twice what one of the forms says", () => {
    if (POINTS.is !== "either") throw new Error("either");
    expect(offered(POINTS.any).map((takes) => takes.is)).toEqual(["shapes"]);
    expect(offered([{ is: "number" }, { is: "text" }]).map((takes) => takes.is)).toEqual(["number"]);
  });
});

describe("places of a value", () => {
  it("are made on the way, changed, and taken out", () => {
    expect(put(undefined, ["stiff", "along"], "60 N/mm")).toEqual({ table: [["stiff", { table: [["along", "60 N/mm"]] }]] });
    expect(put(["A", "B", "C"], [1], undefined)).toEqual(["A", "C"]);
    expect(put({ table: [["a", "1"], ["b", "2"]] }, ["a"], undefined)).toEqual({ table: [["b", "2"]] });
    expect(moved(["A", "B", "C"], 2, 1)).toEqual(["A", "C", "B"]);
    expect(moved(["A", "B"], 0, -1)).toEqual(["A", "B"]);
  });

  it("are told what they take by the tables", () => {
    const keys = [key("points", { is: "named", of: POINTS, key: "thing" })];
    expect(takesAt(keys, ["points", "A", "along"])).toEqual(LENGTH);
    expect(takesAt(keys, ["points", "A", 0])).toEqual(LENGTH);
    expect(takesAt(keys, ["points", "A", "swing", 1, 0])).toEqual(POINT);
    expect(takesAt(keys, ["holes", "h1"])).toBeUndefined();
  });

  it("are those of a draft within the place that it is for", () => {
    const draft = drafted(blank(POINTS), 2, [
      { act: "set", at: ["points", "?"], to: { at: ["", ""] } },
      { act: "set", at: ["points", "?", "at", 0], to: "5" },
      { act: "set", at: ["points", "?", "exact"], to: true },
      { act: "remove", at: ["points", "?", "exact"] },
    ]);
    expect(draft).toEqual({ table: [["at", ["5", ""]]] });
  });
});

describe("something new in a file", () => {
  it("stands under a heading of its own where such things do, and on one line where they do not", () => {
    expect(actsToWrite(["holes", "h3"], { at: "E", for: "M6" })).toEqual([
      { act: "set", at: ["holes", "h3", "at"], to: "E" },
      { act: "set", at: ["holes", "h3", "for"], to: "M6" },
    ]);
    expect(actsToWrite(["points", "G"], { from: "A", toward: "B" })).toEqual([
      { act: "set", at: ["points", "G"], to: { from: "A" } },
      { act: "set", at: ["points", "G", "toward"], to: "B" },
    ]);
    expect(actsToWrite(["points", "G"], ["1", "2"])).toEqual([{ act: "set", at: ["points", "G"], to: ["1", "2"] }]);
  });

  it("is a row with its keys in their order", () => {
    expect(actsToAdd(["readings"], 1, { between: ["A", "C"], read: "133" })).toEqual([
      { act: "add", at: ["readings"], to: { between: ["A", "C"] } },
      { act: "set", at: ["readings", 1, "read"], to: "133" },
    ]);
    expect(actsToAdd(["outline", "through"], 4, "E")).toEqual([{ act: "add", at: ["outline", "through"], to: "E" }]);
  });
});
