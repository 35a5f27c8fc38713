/** The fits of a job: another opened, another begun, and taken back, by keyboard alone and by taps. */

import { readdir, readFile } from "node:fs/promises";
import { join } from "node:path";
import type { Browser, Page } from "playwright-core";
import { afterAll, beforeAll, describe, expect, it, onTestFinished } from "vitest";
import { focused, LIGHT, launched, opened, settled, shot, TABLET } from "../src/browser";
import { byKeyboard, byTaps, type Hand } from "../src/hand";
import { Running } from "../src/program";

let browser: Browser;
beforeAll(async () => {
  browser = await launched();
});
afterAll(async () => {
  await browser.close();
});

const ANSWERS: [string, string][] = [
  ["Whom or what is this fit for", "Second hoe, left arm"],
  ["Does anyone's weight hang on it", "no"],
  ["Could it hold someone under water", "yes"],
  ["Does it steer, brake or fire", "no"],
  ["Can the person feel the skin", "yes"],
  ["Can the other hand let go", "yes"],
  ["Which hand or side", "left"],
];

const HANDS: [string, boolean, (page: Page) => Hand][] = [
  ["by keyboard alone", false, byKeyboard],
  ["by taps up to 22 px off", true, (page) => byTaps(page, 22)],
];

const open = (page: Page, name: string) => page.getByRole("heading", { name: `The fit that is open: ${name}`, exact: true });
/** A second press within 0.3 s is a shake of the hand. */
const breath = (page: Page) => page.waitForTimeout(350);

describe.each(HANDS)("the fits of a job, %s", (name, touch, handOf) => {
  it("are opened, begun like another, and taken back", { timeout: 240_000 }, async () => {
    const running = await Running.on("push-hoe");
    onTestFinished(() => running.stop());
    const { page, context, wrong } = await opened(browser, running, { look: touch ? TABLET : LIGHT });
    onTestFinished(() => context.close());
    const hand = handOf(page);
    await settled(page);

    await hand.press(page.getByRole("button", { name: "Open the fit left-arm", exact: true }));
    await open(page, "left-arm").waitFor();
    await expect.poll(() => focused(page)).toBe("The fit that is open: left-arm");
    await settled(page);
    await expect.poll(() => page.locator("#ask").innerText()).toContain("Left arm, 31.8 mm handle");

    await hand.press(page.locator("summary").filter({ hasText: "Begin another fit" }));
    await breath(page);
    await hand.press(page.getByRole("button", { name: "Like left-arm", exact: true }));
    for (const [asks, answer] of ANSWERS) {
      const questions = page.locator("#ask .questions");
      const question = questions.getByText(asks).first();
      await question.waitFor();
      await breath(page);
      const field = questions.locator("input[type=text]");
      if ((await field.count()) > 0) {
        await hand.type(field, answer);
        await hand.press(questions.getByRole("button", { name: "Next", exact: true }));
      } else {
        await hand.press(questions.getByRole("button", { name: new RegExp(`^${answer}( \\(usual\\))?$`) }));
      }
    }
    const begin = page.getByRole("button", { name: "Begin this fit", exact: true });
    await begin.waitFor();
    await breath(page);
    await hand.press(begin);
    await open(page, "second-hoe-left-arm").waitFor();
    await settled(page);
    const fits = join(running.folder, "fits");
    const text = await readFile(join(fits, "second-hoe-left-arm.toml"), "utf8");
    expect(text).toContain('title  = "Second hoe, left arm"');
    expect(text).toContain("[mounts.frame]");
    expect(text).toContain("# drop = ");
    await shot(page, `fit begun ${name}`);

    await breath(page);
    await hand.press(page.getByRole("button", { name: /^Take back/ }));
    await page.getByRole("heading", { name: /^The fit that is open: (own|left-arm)$/ }).waitFor();
    expect((await readdir(fits)).sort()).toEqual(["left-arm.toml", "own.toml"]);
    expect(wrong).toEqual([]);
  });
});
