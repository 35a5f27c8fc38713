/** The page where the browser draws nothing in 3-D, and where nothing is to move: all of it is there, said and drawn otherwise. */

import type { Browser, Page } from "playwright-core";
import { afterEach, describe, expect, it } from "vitest";
import { focused, LIGHT, launched, opened, type Seen, settled } from "../src/browser";
import { movingThings } from "../src/probes";
import { sitting } from "../src/sitting";

const at = sitting("one-bend");
let seen: Seen | undefined;
let other: Browser | undefined;
afterEach(async () => {
  await seen?.context.close();
  await other?.close();
  seen = undefined;
  other = undefined;
});

const folding = (page: Page) => page.locator("#fold .folding");
/** A second press of one button right after the first is a shake of the hand. */
const steady = (page: Page) => page.waitForTimeout(350);
const drawing = (page: Page) => folding(page).locator(".one-view svg");

async function inSight(page: Page): Promise<void> {
  await settled(page);
  await page.locator("#fold").evaluate((section) => section.scrollIntoView());
  await drawing(page).waitFor();
}

describe("without WebGL", () => {
  it("the drawing is shown in the place of the view in 3-D, and the section is whole", async () => {
    other = await launched(["--disable-gpu", "--disable-3d-apis"]);
    seen = await opened(other, at.running, { look: LIGHT });
    const { page } = seen;
    expect(await page.evaluate(() => document.createElement("canvas").getContext("webgl2"))).toBeNull();
    await inSight(page);
    const opener = folding(page).getByRole("button", { name: "Show the part in 3-D" });
    await opener.press("Enter");
    await folding(page).getByText(/WebGL is missing or turned off/).waitFor();
    expect(await page.locator("canvas").count()).toBe(0);
    // The focus is at the button again, and all else works as it does with it.
    await expect.poll(() => focused(page)).toBe("Show the part in 3-D");
    const whole = await drawing(page).innerHTML();
    await folding(page).getByRole("button", { name: "From above" }).press("Enter");
    await page.waitForFunction((whole) => document.querySelector("#fold .one-view svg")?.innerHTML !== whole, whole);
    const above = await drawing(page).innerHTML();
    await folding(page).getByRole("button", { name: "Flat", exact: true }).press("Enter");
    await page.waitForFunction((above) => document.querySelector("#fold .one-view svg")?.innerHTML !== above, above);
    await folding(page).getByText("Flat: none of 1 folds made.").waitFor();
    await folding(page).getByRole("heading", { name: "Each hole against its mount" }).waitFor();
    await folding(page).getByRole("table").first().waitFor();
    // What the browser itself says of the missing view is no fault of the page.
    expect(seen.wrong.filter((says) => !/webgl/i.test(says))).toEqual([]);
  });
});

describe("with less movement", () => {
  it("a slow fold goes a whole fold at a time, and nothing is animated", async () => {
    seen = await opened(at.browser, at.running, { look: LIGHT, reducedMotion: true });
    const { page } = seen;
    await inSight(page);
    await folding(page).getByRole("button", { name: "Flat", exact: true }).press("Enter");
    await folding(page).getByText("Flat: none of 1 folds made.").waitFor();
    // Every moment that is asked for is kept.
    const asked: string[] = [];
    page.on("request", (request) => {
      const url = new URL(request.url());
      if (url.pathname === "/api/picture/folding") asked.push(`${url.searchParams.get("step")} ${url.searchParams.get("share")}`);
    });
    await steady(page);
    await folding(page).getByRole("button", { name: "Fold slowly" }).press("Enter");
    await folding(page).getByText("Fold by fold, as movement is to be less. Stop and Esc end it.").waitFor();
    expect(await movingThings(page)).toEqual([]);
    await folding(page).getByText("All folded: 1 of 1.").waitFor();
    expect(asked).toEqual(["1 1"]);
  });

  it("where movement is wanted the same fold passes through what lies between", async () => {
    seen = await opened(at.browser, at.running, { look: LIGHT });
    const { page } = seen;
    await inSight(page);
    await folding(page).getByRole("button", { name: "Flat", exact: true }).press("Enter");
    await folding(page).getByText("Flat: none of 1 folds made.").waitFor();
    await steady(page);
    // Seen from within: on a busy machine the fold may be over before it is looked at from here.
    await page.evaluate(() => {
      const look = () => {
        const step = document.querySelector('#fold .folding [aria-current="step"]');
        if (step?.textContent?.includes("under way")) document.body.dataset.underWay = "seen";
      };
      new MutationObserver(look).observe(document.body, { subtree: true, childList: true, characterData: true });
    });
    await folding(page).getByRole("button", { name: "Fold slowly" }).press("Enter");
    await page.locator('body[data-under-way="seen"]').waitFor();
    await page.keyboard.press("Escape");
    await folding(page).getByRole("button", { name: "Fold slowly" }).waitFor();
  });
});
