import type { Browser } from "playwright-core";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { DARK, LIGHT, NARROW, NARROW_DARK, launched, opened, settled, shot, unfolded } from "../src/browser";
import { violationsByAce, violationsByAxe } from "../src/engines";
import { Running } from "../src/program";

let browser: Browser;
let running: Running;

beforeAll(async () => {
  browser = await launched();
  running = await Running.on("push-hoe");
});
afterAll(async () => {
  await browser.close();
  await running.stop();
});

describe.each([LIGHT, DARK, NARROW, NARROW_DARK])("the whole sheet, $name", (look) => {
  it("has no violation by either engine, folded up or not", async () => {
    const { page, context, wrong } = await opened(browser, running, { look, bypassCSP: true });
    await settled(page);
    await shot(page, `sheet-${look.name}`);
    expect(await violationsByAxe(page)).toEqual([]);
    await unfolded(page);
    await shot(page, `sheet-unfolded-${look.name}`);
    expect(await violationsByAxe(page)).toEqual([]);
    expect(await violationsByAce(page)).toEqual([]);
    expect(wrong).toEqual([]);
    await context.close();
  });
});
