import { describe, expect, it } from "vitest";
import { directions, type Eye, eyeInWords, eyeOf, nameOf, nearer, turned, turnedBy, VIEWS } from "../src/solid/eye";

const dot = (a: number[], b: number[]) => a.reduce((sum, value, way) => sum + value * (b[way] ?? 0), 0);

function near(one: number[], other: number[]) {
  one.forEach((value, way) => expect(value).toBeCloseTo(other[way] ?? Number.NaN, 9));
}

describe("an eye", () => {
  it("looks from every named side as the drawings do", () => {
    const front = directions(eyeOf("front"));
    near(front.right, [1, 0, 0]);
    near(front.up, [0, 0, 1]);
    near(front.toward, [0, -1, 0]);
    near(directions(eyeOf("back")).right, [-1, 0, 0]);
    near(directions(eyeOf("right")).toward, [1, 0, 0]);
    near(directions(eyeOf("left")).right, [0, -1, 0]);
    near(directions(eyeOf("above")).up, [0, 1, 0]);
    near(directions(eyeOf("below")).up, [0, -1, 0]);
    const third = 1 / Math.sqrt(3);
    near(directions(eyeOf("corner")).toward, [third, -third, third]);
  });

  it("has three directions that are square to each other wherever it is", () => {
    let eye: Eye = eyeOf("corner");
    for (const turn of ["left", "up", "up", "right", "down", "left", "left"] as const) {
      eye = turnedBy(eye, turn);
      const { right, up, toward } = directions(eye);
      for (const way of [right, up, toward]) expect(dot(way, way)).toBeCloseTo(1, 9);
      expect(dot(right, up)).toBeCloseTo(0, 9);
      expect(dot(up, toward)).toBeCloseTo(0, 9);
      expect(dot(toward, right)).toBeCloseTo(0, 9);
    }
  });

  it("turns the part's front to the right when it is told to turn right, and back again", () => {
    const eye = turnedBy(eyeOf("front"), "right");
    // The front of the part looks along -y: in the picture it now looks to the right.
    expect(dot(directions(eye).right, [0, -1, 0])).toBeGreaterThan(0.2);
    expect(nameOf(turnedBy(eye, "left"))).toBe("front");
    let round = eyeOf("left");
    for (let press = 0; press < 24; press += 1) round = turnedBy(round, "right");
    expect(nameOf(round)).toBe("left");
  });

  it("does not go over the top, nor nearer or farther than is of use", () => {
    expect(turned(eyeOf("corner"), 0, 500).up).toBe(90);
    expect(turned(eyeOf("corner"), 0, -500).up).toBe(-90);
    let eye = eyeOf("front");
    for (let press = 0; press < 40; press += 1) eye = nearer(eye, 1);
    expect(eye.near).toBe(8);
    for (let press = 0; press < 40; press += 1) eye = nearer(eye, -1);
    expect(eye.near).toBe(0.5);
  });

  it("says where it is", () => {
    for (const view of VIEWS) expect(nameOf(eyeOf(view))).toBe(view);
    expect(eyeInWords(eyeOf("back"))).toBe("From behind");
    expect(eyeInWords(turnedBy(eyeOf("front"), "down"))).toBe("From the front, 15 degrees from above");
    expect(eyeInWords(turnedBy(eyeOf("front"), "left"))).toBe("15 degrees round to the right from the front");
    expect(eyeInWords(nearer(eyeOf("front"), 1))).toBe("From the front, drawn 1.3 times as large");
  });
});
