import { describe, expect, it } from "vitest";
import { namesOf, nextName, notFree, outlineOf } from "../src/forms/names";
import { HOLE, POINT, type Takes } from "../src/forms/keys";
import { armedOf, filled, slotKey, slotsOf } from "../src/forms/slots";
import { at } from "../src/typed";
import type { Job, Typed } from "../src/types";

const DESIGN: Typed = {
  table: [
    ["points", { table: [["A", ["0", "0"]], ["B", ["9", "0"]], ["H1", ["3", "3"]]] }],
    ["outline", { table: [["through", ["A", "B", "H1"]]] }],
    ["holes", { table: [["h1", { table: [["at", "H1"]] }], ["h2", { table: [["at", ["5", "5"]]] }]] }],
    ["slots", { table: [["h3", { table: [] }]] }],
  ],
};
const JOB = { files: { design: { path: "design.toml", text: "", values: DESIGN }, fit: null, shop: null } } as unknown as Job;

describe("names on offer", () => {
  it("are those that are there, a hole placed by numbers among the points", () => {
    expect(namesOf(JOB, POINT)).toEqual(["A", "B", "H1", "h2"]);
    expect(namesOf(JOB, HOLE)).toEqual(["h1", "h2"]);
    expect(namesOf(JOB, { is: "name", of: "instrument", under: [{ file: "shop", table: "instruments" }], also: ["tape", "rule"] })).toEqual(["tape", "rule"]);
    expect(namesOf(JOB, { is: "name", of: null })).toEqual([]);
    expect(outlineOf(JOB)).toEqual(["A", "B", "H1"]);
  });

  it("are followed by the next that is free, over all tables that share their names", () => {
    expect(nextName(JOB, "design", ["points"])).toBe("C");
    expect(nextName(JOB, "design", ["holes"])).toBe("h4");
    expect(nextName(JOB, "design", ["windows"])).toBe("w1");
    expect(nextName(JOB, "design", ["bends"])).toBe("b1");
  });

  it("are refused where they are taken or no names", () => {
    expect(notFree("A", ["A"])).toContain("there already");
    expect(notFree("2b", [])).toContain("beginning with a letter");
    expect(notFree("A-B", [])).toContain("letters");
    expect(notFree("b2", ["b1"])).toBeNull();
  });
});

const LENGTH: Takes = { is: "sum", of: "length" };
const key = (name: string, takes: Takes, must = true) => ({ name, takes, must, says: "", example: "" });

describe("taps", () => {
  const slot: Takes = { is: "table", keys: [key("from", POINT), key("to", POINT), key("width", LENGTH)] };

  it("fill one place after the other, and none once all are said", () => {
    let draft: Typed | undefined = { table: [] };
    for (const name of ["A", "B"]) {
      const armed = armedOf(slotsOf(slot, draft), null);
      if (!armed) throw new Error("a place is empty");
      draft = filled(draft, armed, name, (way) => at(draft ?? null, way));
    }
    expect(draft).toEqual({ table: [["from", "A"], ["to", "B"]] });
    expect(armedOf(slotsOf(slot, draft), null)).toBeNull();
    // One that is said is said anew when it is chosen.
    expect(armedOf(slotsOf(slot, draft), slotKey({ way: ["from"] }))?.label).toBe("from");
  });

  it("fill both ends of a line", () => {
    const foot: Takes = { is: "table", keys: [key("foot", POINT), key("on", { is: "line" })] };
    let draft: Typed | undefined = { table: [["foot", "C"], ["on", ""]] };
    for (const name of ["A", "B"]) {
      const armed = armedOf(slotsOf(foot, draft), null);
      if (!armed) throw new Error("an end is empty");
      draft = filled(draft, armed, name, (way) => at(draft ?? null, way));
    }
    expect(at(draft ?? null, ["on"])).toBe("A-B");
  });

  it("go on in a list for as long as it must grow, and beyond that when it is chosen", () => {
    const inside: Takes = { is: "list", of: POINT, least: 3, most: 2000 };
    expect(armedOf(slotsOf(inside, ["A", "B"]), null)?.way).toEqual([2]);
    expect(armedOf(slotsOf(inside, ["A", "B", "C"]), null)).toBeNull();
    expect(armedOf(slotsOf(inside, ["A", "B", "C"]), slotKey({ way: [3] }))?.way).toEqual([3]);
  });

  it("leave alone what may be left out, until it is chosen", () => {
    const reach: Takes = { is: "table", keys: [key("from", POINT), key("of", { is: "line" }, false)] };
    const draft: Typed = { table: [["from", "A"]] };
    expect(armedOf(slotsOf(reach, draft), null)).toBeNull();
    expect(slotsOf(reach, draft)).toHaveLength(3);
  });
});
