import type { Browser } from "playwright-core";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { DARK, LIGHT, NARROW, NARROW_DARK, launched, opened, settled, shot, unfolded } from "../src/browser";
import { violationsByAce, violationsByAxe } from "../src/engines";
import { Running } from "../src/program";

/** Both engines look at each pair of thousands of things; they are not what is timed here. */
const LOOK_MS = 600_000;

let browser: Browser;
let running: Running;

beforeAll(async () => {
  browser = await launched();
  running = await Running.on("one-bend");
});
afterAll(async () => {
  await browser.close();
  await running.stop();
});

describe.each([LIGHT, DARK, NARROW, NARROW_DARK])("the whole sheet, $name", (look) => {
  it(
    "has no violation by axe-core",
    async () => {
      const { page, context, wrong } = await opened(browser, running, { look, bypassCSP: true });
      await settled(page);
      await shot(page, `sheet-${look.name}`);
      expect(await violationsByAxe(page)).toEqual([]);
      expect(wrong).toEqual([]);
      await context.close();
    },
    LOOK_MS,
  );
});

// Not met yet: it takes fields inside what is folded up for unlabelled, and wants other names for groups of one name. Once
// it has nothing to say, this fails, and becomes one of the looks above.
it.fails(
  "has none by accessibility-checker-engine",
  async () => {
    const { page, context } = await opened(browser, running, { look: LIGHT, bypassCSP: true });
    await settled(page);
    const found = await violationsByAce(page);
    await context.close();
    expect(found).toEqual([]);
  },
  LOOK_MS,
);

it(
  "has none with everything opened that opens",
  async () => {
    const { page, context } = await opened(browser, running, { look: LIGHT, bypassCSP: true });
    await settled(page);
    await unfolded(page);
    await shot(page, "sheet-unfolded");
    expect(await violationsByAxe(page)).toEqual([]);
    await context.close();
  },
  LOOK_MS,
);
