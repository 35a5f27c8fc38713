/**
 * From key press to new picture and answers. What is measured is told as found; the gate holds a bound that a machine under
 * load keeps, and the goals stand beside it in the report. With both cores taken by other programs and a release build beside
 * them it took 2.3 s, and 9.9 s with hold.
 *
 * A point is chosen in the picture and its place is typed anew, each time to somewhere it never was, with the keys of a
 * keyboard. What is typed is worked out before it is kept, so how long a person looks at it before Enter is part of the measure.
 */

import type { Page } from "playwright-core";
import { describe, expect, it } from "vitest";
import { LIGHT, opened, settled } from "../src/browser";
import { sitting } from "../src/sitting";

const ACTS = Number(process.env.GUSSET_SPEED_ACTS ?? 5);
const GOAL_MS = 50;
const GOAL_HOLD_MS = 150;
/** Beyond this a person waits, whatever the machine does beside it. */
const BOUND_MS = Number(process.env.GUSSET_SPEED_BOUND_MS ?? 5000);

/** Many acts on a machine that does something else beside take longer than a test has. */
const AT_MOST_MS = 600_000;

/** How long Enter comes after the last letter, ms. */
const LOOKS = [
  { says: "Enter right after the last letter", ms: 30 },
  { says: "Enter 0.2 s after it, as one types on", ms: 200 },
  { says: "Enter 1 s after it, as one reads what was understood", ms: 1000 },
];

const at = sitting("push-hoe");

interface Took {
  picture: number;
  hold: number;
  /** It stands in the file. */
  written: number;
  /** New answers stood there without the proof of them. */
  waited: boolean;
}
type When = "picture" | "hold" | "written";

declare global {
  interface Window {
    took?: Partial<Took>;
  }
}

function share(of: number[], part: number): number {
  const sorted = [...of].sort((a, b) => a - b);
  return sorted[Math.min(sorted.length - 1, Math.floor(part * sorted.length))] ?? Number.NaN;
}

/** Times each Enter within the page: from the event's own time to when the frame with what it set off has been painted. */
async function timing(page: Page): Promise<void> {
  await page.evaluate(() => {
    const painted = (then: (at: number) => void) =>
      requestAnimationFrame(() => {
        const after = new MessageChannel();
        after.port1.onmessage = () => then(performance.now());
        after.port2.postMessage(0);
      });
    const main = () => document.querySelector("main");
    const press = (event: KeyboardEvent) => {
      if (event.key !== "Enter") return;
      const stamp = main()?.dataset.stamp;
      const took: Partial<Took> = {};
      window.took = took;
      const until = (what: When, isThere: () => boolean) => {
        if (isThere()) painted((at) => (took[what] = at - event.timeStamp));
        else setTimeout(() => until(what, isThere), 1);
      };
      const isNew = () => main()?.dataset.stamp !== stamp && !main()?.classList.contains("older");
      until("picture", () => isNew() && !document.querySelector("#mark-out .marking-out .before"));
      until("written", () => isNew() && main()?.dataset.writing === undefined);
      until("hold", () => {
        const waits = document.querySelector(".answers .before") !== null;
        took.waited ||= isNew() && waits;
        return isNew() && !waits;
      });
    };
    addEventListener("keydown", press, true);
  });
}

describe("on push-hoe", () => {
  it("an act shows its answers and its picture", async () => {
    const { page, context } = await opened(at.browser, at.running, { look: LIGHT });
    await settled(page);
    await page.locator('#mark-out [data-things~="point:T1"] button').press("Enter");
    const field = page.locator("#mark-out .marking-out").getByRole("textbox").first();
    await field.waitFor();
    await timing(page);
    let turn = 0;
    for (const { says, ms } of LOOKS) {
      const took: Took[] = [];
      for (let index = 0; index < ACTS; index += 1) {
        turn += 1;
        await field.press("ControlOrMeta+a");
        await page.keyboard.type(`-${230 + turn / 100} mm`);
        await page.waitForTimeout(ms);
        await page.keyboard.press("Enter");
        await page.waitForFunction(() => window.took?.picture !== undefined && window.took.hold !== undefined && window.took.written !== undefined, null, { polling: 20 });
        took.push((await page.evaluate(() => window.took)) as Took);
      }
      const told = (what: When) => {
        const times = took.map((one) => one[what]);
        return `median ${share(times, 0.5).toFixed(0)} ms, 95th percentile ${share(times, 0.95).toFixed(0)} ms`;
      };
      console.info(`${says}: geometry, fit, cut, bend and picture ${told("picture")} (goal ${GOAL_MS}); with hold ${told("hold")} (goal ${GOAL_HOLD_MS}); in the file ${told("written")}`);
      expect(share(took.map(({ picture }) => picture), 0.95)).toBeLessThan(BOUND_MS);
      expect(share(took.map(({ hold }) => hold), 0.95)).toBeLessThan(2 * BOUND_MS);
    }
    await context.close();
  }, AT_MOST_MS);

  it("what is undone stands at once, with its proof", async () => {
    const { page, context } = await opened(at.browser, at.running, { look: LIGHT });
    await settled(page);
    const back = page.getByRole("button", { name: /^Take back/ });
    const stamp = () => page.locator("main").getAttribute("data-stamp");
    const was = await stamp();
    await timing(page);
    await back.press("Enter");
    await page.waitForFunction((was) => document.querySelector("main")?.dataset.stamp !== was, was);
    await page.waitForFunction(() => window.took?.hold !== undefined);
    const took = await page.evaluate(() => window.took);
    console.info(`take back: ${took?.picture?.toFixed(0)} ms, with hold ${took?.hold?.toFixed(0)} ms`);
    expect(took?.waited).not.toBe(true);
    await context.close();
  });
});
