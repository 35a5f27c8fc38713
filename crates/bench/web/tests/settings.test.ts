import { describe, expect, it } from "vitest";
import { secondPressMs, settingsKept, settle } from "../src/settings";

const store = (text: string | null) => {
  const kept = { text };
  return { kept, getItem: () => kept.text, setItem: (_: string, value: string) => void (kept.text = value) };
};

describe("settings", () => {
  it("are the usual ones where nothing was kept, or something else", () => {
    for (const text of [null, "{}", "nonsense", "3", '{"view":"huge","other":"x"}']) {
      expect(settingsKept(store(text))).toEqual({ view: "desk", side: "right", colours: "device", movement: "device", again: "300" });
    }
    expect(settingsKept(null).view).toBe("desk");
  });

  it("hold at once and the next time", () => {
    const root = document.createElement("div");
    const kept = store(null);
    settle({ ...settingsKept(kept), view: "shop", side: "left", again: "1200" }, root, kept);
    expect(root.dataset.view).toBe("shop");
    expect(root.dataset.side).toBe("left");
    expect(secondPressMs()).toBe(1200);
    expect(settingsKept(kept).view).toBe("shop");
    settle(settingsKept(null), root, null);
    expect(secondPressMs()).toBe(300);
  });
});
