import { describe, expect, it } from "vitest";
import { asPoints } from "../src/mark_out/board";
import { drawingOf } from "../src/mark_out/drawing";
import { actsOfRound, tapped } from "../src/mark_out/going_round";
import { usesOf } from "../src/mark_out/point_card";
import { isInside, panned, type Place, roomy, seen, type Target, targetsOf, thingKey, whole, zoomed } from "../src/mark_out/targets";
import type { Typed } from "../src/types";

const ALL = { x: 0, y: 0, width: 200, height: 100 };
const PLACES: Place[] = [
  { is: "point", name: "A", x: 20, y: 20 },
  { is: "point", name: "B", x: 25, y: 20 },
  { is: "point", name: "C", x: 180, y: 80 },
];

const namesOf = (target: Target) => target.things.map(({ name }) => name);

describe("buttons over the picture", () => {
  it("are as large as a target, and one where two would overlap", () => {
    const targets = targetsOf(PLACES, ALL, { width: 1000, height: 500 }, 56);
    expect(targets.map((target) => namesOf(target))).toEqual([["A", "B"], ["C"]]);
    for (const target of targets) expect(Math.min(target.width, target.height)).toBeGreaterThanOrEqual(56);
    const [a, b] = targets;
    expect(a && b && a.left + a.width <= b.left).toBe(true);
  });

  it("hold their places, lie over no other and stay in the picture, also where many lie close", () => {
    // A number from 0 to 1, the same ones in every run (Park and Miller, 1988).
    let state = 20261129;
    const dice = () => (state = (state * 48271) % 2147483647) / 2147483647;
    for (const [width, count] of [[316, 40], [316, 9], [900, 60]] as const) {
      const places = Array.from({ length: count }, (_, index): Place => ({ is: "point", name: `P${index}`, x: 60 + 80 * dice(), y: 100 * dice() }));
      const shown = { width, height: width / 2 };
      const targets = targetsOf(places, ALL, shown, 56);
      expect(targets.flatMap(namesOf).sort()).toEqual(places.map(({ name }) => name).sort());
      for (const one of targets) {
        expect(Math.min(one.width, one.height)).toBeGreaterThanOrEqual(56);
        expect(Math.min(one.left, one.top, shown.width - one.left - one.width, shown.height - one.top - one.height)).toBeGreaterThanOrEqual(-1e-9);
        for (const other of targets) {
          const apart = one.left + one.width <= other.left + 1e-9 || other.left + other.width <= one.left + 1e-9 || one.top + one.height <= other.top + 1e-9 || other.top + other.height <= one.top + 1e-9;
          expect(one === other || apart).toBe(true);
        }
        for (const name of namesOf(one)) {
          const place = places.find((place) => place.name === name);
          const [x, y] = [((place?.x ?? 0) * width) / 200, ((place?.y ?? 0) * width) / 200];
          expect(x >= one.left - 1e-9 && x <= one.left + one.width + 1e-9 && y >= one.top - 1e-9 && y <= one.top + one.height + 1e-9).toBe(true);
        }
      }
    }
  });

  it("come apart nearer, and no drawing is so dense that they never do", () => {
    const near = zoomed(ALL, whole(ALL), 4, { x: 22, y: 20 });
    const part = seen(ALL, near);
    const targets = targetsOf(PLACES, part, { width: 1000, height: 500 }, 56);
    expect(targets.map((target) => namesOf(target))).toEqual([["A"], ["B"]]);
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

const SVG = `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 200 100">
  <g data-hole="h1"><circle cx="50" cy="40" r="4"/><path d="M44 40L56 40"/></g>
  <g data-slot="s1"><path d="M80 20L100 20A3 3 0 0 1 100 26L80 26A3 3 0 0 1 80 20Z"/><path d="M76 23L84 23"/></g>
  <g data-window="w1"><path d="M120 10L160 10L160 50L120 50Z"/></g>
  <g data-bend="b1"><path d="M20 0L20 100"/></g>
  <g data-point="Kc"><circle cx="20" cy="50" r="1"/></g>
</svg>`;

describe("what can be chosen in the picture", () => {
  const places = drawingOf(SVG, "own")?.places ?? [];
  const where = (name: string) => {
    const place = places.find((place) => place.name === name);
    return place && [place.is, place.x, place.y];
  };

  it("is a point, a hole, a slot or a window at its middle", () => {
    expect(where("Kc")).toEqual(["point", 20, 50]);
    expect(where("h1")).toEqual(["hole", 50, 40]);
    expect(where("s1")).toEqual(["slot", 90, 23]);
    expect(where("w1")).toEqual(["window", 140, 30]);
  });

  it("is a crease where nothing else lies on it", () => {
    const [is, x, y] = where("b1") ?? [];
    expect([is, x]).toEqual(["bend", 20]);
    expect(Math.abs(Number(y) - 50)).toBeGreaterThanOrEqual(20);
  });

  it("is points alone for a form that takes points, and holes that are points by their own names", () => {
    expect(asPoints(places, []).map(({ name }) => name)).toEqual(["Kc"]);
    expect(asPoints(places, ["h1"]).map(({ is, name }) => [is, name])).toEqual([["point", "Kc"], ["point", "h1"]]);
  });

  it("is told apart by what it is, where a hole has the name of a point", () => {
    const [target] = targetsOf([{ is: "point", name: "A", x: 20, y: 20 }, { is: "hole", name: "A", x: 20, y: 20 }], ALL, { width: 1000, height: 500 }, 56);
    expect(target?.things.map(thingKey)).toEqual(["point:A", "hole:A"]);
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
