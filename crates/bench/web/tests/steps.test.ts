import { describe, expect, it } from "vitest";
import { momentOf } from "../src/solid/shown";
import { foldedInWords, foldNext, framesAt, stepAt, unfold } from "../src/solid/steps";
import type { Folding, Frame } from "../src/solid/told";

describe("folds", () => {
  it("go on to the end of the one under way, and back to before it", () => {
    expect([0, 0.5, 1, 2.9, 3].map((folded) => foldNext(folded, 3))).toEqual([1, 1, 2, 3, 3]);
    expect([0, 0.5, 1, 2.9, 3].map(unfold)).toEqual([0, 0, 0, 2, 2]);
    expect(foldNext(0, 0)).toBe(0);
  });

  it("count from 1, and flat is 0", () => {
    expect(stepAt(0)).toEqual({ step: 0, share: 0 });
    expect(stepAt(1)).toEqual({ step: 1, share: 1 });
    expect(stepAt(1.25)).toEqual({ step: 2, share: 0.25 });
    expect(stepAt(3)).toEqual({ step: 3, share: 1 });
  });

  it("lie between two frames", () => {
    expect(framesAt(0, 3, 25)).toEqual({ from: 0, to: 1, share: 0 });
    expect(framesAt(3, 3, 25)).toEqual({ from: 24, to: 24, share: 0 });
    const { from, to, share } = framesAt(1.0625, 3, 25);
    expect([from, to]).toEqual([8, 9]);
    expect(share).toBeCloseTo(0.5, 9);
    expect(framesAt(0, 0, 1)).toEqual({ from: 0, to: 0, share: 0 });
  });

  it("are told in words", () => {
    expect(foldedInWords(0, 3)).toBe("Flat: none of 3 folds made.");
    expect(foldedInWords(2, 3)).toBe("Fold 2 of 3 made.");
    expect(foldedInWords(1.5, 3)).toBe("Fold 2 of 3 made to 50 %.");
    expect(foldedInWords(3, 3)).toBe("All folded: 3 of 3.");
    expect(foldedInWords(0, 0)).toBe("Nothing to fold.");
  });

  it("stand just where the server says at a frame, and between two on the way between them", () => {
    const frame = (step: number, share: number, turn: number[], x: number, bend: number): Frame => ({
      step,
      share,
      panels: [[...turn, x, 0, 0] as Frame["panels"][number]],
      bends: [[bend, 0, 0]],
    });
    const folding = {
      steps: [{ number: 1, bends: ["b1"], says: "" }],
      // The second says the same turn by the opposite numbers.
      frames: [frame(0, 0, [0, 0, 0, 1], 0, 0), frame(1, 1, [0, 0, -0.1, -0.995], 10, 4)],
    } as unknown as Folding;
    expect(momentOf(folding, 0).places[0]).toEqual([0, 0, 0, 1, 0, 0, 0]);
    const end = momentOf(folding, 1);
    expect(end.places[0]).toEqual([0, 0, -0.1, -0.995, 10, 0, 0]);
    const half = momentOf(folding, 0.5);
    expect(half.places[0]?.[2]).toBeCloseTo(0.05, 9);
    expect(half.places[0]?.[3]).toBeCloseTo(0.9975, 9);
    expect(half.places[0]?.[4]).toBe(5);
    expect(half.points[0]?.[0]).toBe(2);
  });
});
