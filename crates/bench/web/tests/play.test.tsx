import { render } from "preact";
import { afterEach, expect, it, vi } from "vitest";
import { settingsKept, settle } from "../src/settings";
import { type Play, usePlay } from "../src/solid/play";

const gone: number[] = [];
let play: Play | null = null;

function Folded() {
  play = usePlay(0, 3, false, (folded) => gone.push(folded));
  return null;
}

afterEach(() => {
  vi.useRealTimers();
  settle(settingsKept(null), document.createElement("div"), null);
});

it("a slow fold goes a whole fold at a time where the person wants no movement", async () => {
  vi.useFakeTimers();
  settle({ ...settingsKept(null), movement: "less" }, document.createElement("div"), null);
  const holder = document.createElement("div");
  render(<Folded />, holder);
  play?.start();
  await vi.advanceTimersByTimeAsync(100);
  await vi.advanceTimersByTimeAsync(1500);
  expect(gone).toEqual([1]);
  render(null, holder);
});
