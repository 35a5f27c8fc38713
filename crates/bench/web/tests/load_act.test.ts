import { describe, expect, it } from "vitest";
import { asKind, freeName, loadAct, missing, usualLoad } from "../src/solid/load_act";
import type { LoadKind } from "../src/solid/told";

const push: LoadKind = { kind: "push", says: "", size_key: "force", way_key: "toward", usual: ["250 N", "55 lbf"], per_day: "1000" };
const twist: LoadKind = { kind: "twist", says: "", size_key: "moment", way_key: "about", usual: ["10 N m", "5 lbf ft"], per_day: "500" };
const drop: LoadKind = { kind: "drop", says: "", size_key: "mass", way_key: "toward", usual: ["500 mm", "20 in"], per_day: "1" };
const carry: LoadKind = { kind: "carry", says: "", size_key: "mass", way_key: "toward", usual: ["5 kg", "10 lb"], per_day: "200" };

describe("a load more", () => {
  it("begins with what is usual, in the design's own system, under a free name", () => {
    expect(usualLoad(push, true, ["push"], "support")).toEqual({
      name: "push2",
      size: "55 lbf",
      height: "",
      way: "x",
      at: "support",
      perDay: "1000",
    });
    expect(freeName("push", ["push", "push2"])).toBe("push3");
  });

  it("is written as the fit has loads", () => {
    const load = usualLoad(push, false, [], "support");
    expect(loadAct(push, load)).toEqual({
      act: "set",
      at: ["loads", "push"],
      to: { kind: "push", force: "250 N", toward: "x", per_day: 1000 },
    });
    expect(loadAct(twist, { ...usualLoad(twist, false, [], "g1"), way: "-z", perDay: "" })).toEqual({
      act: "set",
      at: ["loads", "twist"],
      to: { kind: "twist", moment: "10 N m", about: "-z", holes: ["g1"] },
    });
    expect(loadAct(drop, { ...usualLoad(drop, false, [], "support"), size: "1.6 kg" })).toEqual({
      act: "set",
      at: ["loads", "drop"],
      to: { kind: "drop", mass: "1.6 kg", toward: "-z", height: "500 mm", per_day: 1 },
    });
  });

  it("takes a weight as a push, and a force as what is carried", () => {
    expect(loadAct(push, { ...usualLoad(push, false, [], "support"), size: "12 kg" })).toMatchObject({ to: { mass: "12 kg" } });
    expect(loadAct(carry, { ...usualLoad(carry, false, [], "support"), size: "50 N" })).toMatchObject({ to: { force: "50 N" } });
  });

  it("keeps what was typed when it is of another kind, and changes what was only usual", () => {
    const typed = { ...usualLoad(push, false, [], "support"), name: "shove", size: "300 N" };
    expect(asKind(typed, push, carry, false, [])).toEqual({ ...usualLoad(carry, false, [], "support"), name: "shove", size: "300 N" });
    expect(asKind(usualLoad(push, false, [], "g1"), push, drop, false, [])).toEqual(usualLoad(drop, false, [], "g1"));
  });

  it("says what is missing", () => {
    const load = usualLoad(drop, false, [], "support");
    expect(missing(drop, load, [])).toBe("How heavy is what falls?");
    expect(missing(drop, { ...load, size: "1 kg", height: "" }, [])).toBe("How far does it fall?");
    expect(missing(push, usualLoad(push, false, [], "support"), ["push"])).toBe("push is there already.");
    expect(missing(push, { ...usualLoad(push, false, [], "support"), name: "2 times" }, [])).toContain("beginning with a letter");
    expect(missing(push, { ...usualLoad(push, false, [], "support"), perDay: "often" }, [])).toContain("number above 0");
    expect(missing(push, usualLoad(push, false, [], "support"), [])).toBe("");
  });
});
