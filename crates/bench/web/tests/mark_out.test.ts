import { describe, expect, it } from "vitest";
import { actsOfRound, tapped } from "../src/mark_out/going_round";
import { usesOf } from "../src/mark_out/point_card";
import { isInside, panned, type Place, roomy, seen, targetsOf, whole, zoomed } from "../src/mark_out/targets";
import type { Typed } from "../src/types";

const ALL = { x: 0, y: 0, width: 200, height: 100 };
const PLACES: Place[] = [
  { name: "A", x: 20, y: 20 },
  { name: "B", x: 25, y: 20 },
  { name: "C", x: 180, y: 80 },
];

describe("buttons over the picture", () => {
  it("are as large as a target, and one where two would overlap", () => {
    const targets = targetsOf(PLACES, ALL, { width: 1000, height: 500 }, 56);
    expect(targets.map((target) => target.names)).toEqual([["A", "B"], ["C"]]);
    for (const target of targets) expect(Math.min(target.width, target.height)).toBeGreaterThanOrEqual(56);
    const [a, b] = targets;
    expect(a && b && a.left + a.width <= b.left).toBe(true);
  });

  it("come apart nearer, and no drawing is so dense that they never do", () => {
    const near = zoomed(ALL, whole(ALL), 4, { x: 22, y: 20 });
    const part = seen(ALL, near);
    const targets = targetsOf(PLACES, part, { width: 1000, height: 500 }, 56);
    expect(targets.map((target) => target.names)).toEqual([["A"], ["B"]]);
  });

  it("show only what is in sight; the sight does not leave the drawing", () => {
    let view = zoomed(ALL, whole(ALL), 2);
    for (let times = 0; times < 9; times += 1) view = panned(ALL, view, 1, 1);
    const part = seen(ALL, view);
    expect(part).toEqual({ x: 100, y: 50, width: 100, height: 50 });
    expect(PLACES.filter((place) => isInside(part, place)).map((place) => place.name)).toEqual(["C"]);
    expect(zoomed(ALL, view, 0.5)).toEqual(whole(ALL));
  });
});

describe("going round by taps", () => {
  it("adds each point once, and is closed by the first", () => {
    let round: string[] = [];
    for (const name of ["A", "B", "C"]) round = tapped(round, name).round;
    expect(round).toEqual(["A", "B", "C"]);
    expect(tapped(round, "B").round).toEqual(round);
    expect(tapped(round, "A").says).toContain("closes it");
    expect(tapped(["A"], "A").says).toContain("in it already");
  });

  it("takes out with them the corners and arcs that are gone", () => {
    const design: Typed = {
      table: [
        ["outline", { table: [["through", ["A", "B", "C", "D"]], ["corners", { table: [["A", "round 6 mm"], ["D", "round 6 mm"]] }], ["arcs", { table: [["B-C", { table: [] }], ["C-D", { table: [] }], ["C-A", { table: [] }]] }]] }],
      ],
    };
    const { acts, gone } = actsOfRound(design, ["A", "B", "C"]);
    expect(gone).toEqual(["corner D", "arc C-D"]);
    expect(acts[0]).toEqual({ act: "set", at: ["outline", "through"], to: ["A", "B", "C"] });
  });
});

it("a point says what uses it", () => {
  const design: Typed = {
    table: [
      ["points", { table: [["A", ["0", "0"]], ["B", { table: [["where", ["A-C", "D-E"]]] }]] }],
      ["outline", { table: [["through", ["A", "B"]]] }],
      ["holes", { table: [["h1", { table: [["at", "A"]] }]] }],
      ["readings", [{ table: [["between", ["A", "B"]], ["read", "5"]] }]],
    ],
  };
  expect(usesOf(design, "A")).toEqual(["the outside edge", "point B", "hole h1", "reading 1"]);
  expect(usesOf(design, "Z")).toEqual([]);
});

it("a wide drawing on a narrow page has room for targets above each other", () => {
  const all = roomy(ALL, 200, 260);
  expect(all).toEqual({ x: 0, y: -80, width: 200, height: 260 });
  expect(roomy(ALL, 1000, 260)).toEqual(ALL);
});
