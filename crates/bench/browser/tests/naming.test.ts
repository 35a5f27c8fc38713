/** What is chosen in the picture of the mark-out, and what is called otherwise: by keyboard alone and by taps. */

import { readdir, readFile } from "node:fs/promises";
import { join } from "node:path";
import type { Browser, Page } from "playwright-core";
import { afterAll, beforeAll, describe, expect, it, onTestFinished } from "vitest";
import { focused, LIGHT, launched, opened, settled, TABLET } from "../src/browser";
import { byKeyboard, byTaps, type Hand } from "../src/hand";
import { Running } from "../src/program";

const JOB_MS = 240_000;

let browser: Browser;
beforeAll(async () => {
  browser = await launched();
});
afterAll(async () => {
  await browser.close();
});

const HANDS: [string, boolean, (page: Page) => Hand][] = [
  ["by keyboard alone", false, byKeyboard],
  ["by taps up to 22 px off", true, (page) => byTaps(page, 22)],
];

/** The texts of the design and of every fit. */
async function texts(folder: string): Promise<string[]> {
  const fits = (await readdir(join(folder, "fits"))).filter((name) => name.endsWith(".toml")).sort();
  return Promise.all(["design.toml", ...fits.map((name) => join("fits", name))].map((name) => readFile(join(folder, name), "utf8")));
}
/** A second press of one button right after the first is a shake of the hand. */
const steady = (page: Page) => page.waitForTimeout(350);

describe.each(HANDS)("%s", (_, touch, of) => {
  const started = async () => {
    const running = await Running.on("one-bend");
    onTestFinished(() => running.stop());
    const seen = await opened(browser, running, { look: touch ? TABLET : LIGHT });
    onTestFinished(() => seen.context.close());
    await settled(seen.page);
    return { ...seen, running, hand: of(seen.page), marking: seen.page.locator("#mark-out") };
  };

  it("a point is renamed from its card, in all that names it, and back in one step", async () => {
    const { page, running, hand, marking, wrong } = await started();
    const before = await texts(running.folder);
    await hand.press(marking.getByRole("button", { name: /^Point A$/ }).first());
    const card = marking.locator(".marking-out > .add-form");
    await hand.press(card.getByRole("button", { name: "Rename point A" }));
    const field = card.getByLabel("Its new name");
    await hand.type(field, "B");
    await hand.press(card.getByRole("button", { name: "Rename it" }));
    // Said at the field, which keeps what was typed.
    await card.locator(".echo").getByText("Not renamed: something is called B already; take another name").waitFor();
    await expect.poll(() => field.inputValue()).toBe("B");
    await hand.type(field, "heel");
    await steady(page);
    await hand.press(card.getByRole("button", { name: "Rename it" }));
    await card.getByRole("heading", { name: "Point heel" }).waitFor();
    await expect.poll(() => focused(page)).toBe("Rename point heel");
    const [design = ""] = await texts(running.folder);
    expect(design).toMatch(/heel += /);
    expect(design).toMatch(/through += \["heel", "B"/);
    expect(design).not.toMatch(/\["A"|"A-|\bA +=/);
    await settled(page);
    await marking.getByRole("button", { name: /^Point heel$/ }).first().waitFor();
    await hand.press(card.getByRole("button", { name: "Leave it" }));
    await card.waitFor({ state: "detached" });
    await expect.poll(() => focused(page)).toMatch(/^Point\s+heel$/);
    await hand.press(page.getByRole("button", { name: "Take back: point A renamed heel" }));
    await page.getByRole("button", { name: "Do again: point A renamed heel" }).waitFor();
    expect(await texts(running.folder)).toEqual(before);
    // The browser tells of the name that was refused.
    expect(wrong.filter((says) => !says.includes("422"))).toEqual([]);
  }, JOB_MS);

  it("a hole and a crease are chosen in the picture, and the hole is renamed in the fits too", async () => {
    const { page, running, hand, marking } = await started();
    // It lies on its point: which of the two is asked.
    await hand.press(marking.getByRole("button", { name: /hole h1/ }).first());
    await hand.press(marking.locator(".near").getByRole("button", { name: "Hole h1", exact: true }));
    const card = marking.locator(".marking-out > .add-form");
    await card.getByRole("heading", { name: "Hole h1" }).waitFor();
    await hand.press(card.getByRole("button", { name: "Rename hole h1" }));
    await hand.type(card.getByLabel("Its new name"), "upper");
    await page.keyboard.press("Enter");
    await card.getByRole("heading", { name: "Hole upper" }).waitFor();
    const [design = "", fit = ""] = await texts(running.folder);
    expect(design).toContain("[holes.upper]");
    expect(fit).toContain('"upper"');
    expect(fit).not.toContain('"h1"');
    await settled(page);
    await hand.press(marking.getByRole("button", { name: "Crease b1", exact: true }));
    await card.getByRole("heading", { name: "Crease b1" }).waitFor();
    await card.getByText(/^The angle bent through/).first().waitFor();
  }, JOB_MS);

  it("a row of the tables is renamed where it stands", async () => {
    const { page, running, hand, marking } = await started();
    await hand.press(marking.locator("details.values > summary", { hasText: /^Panels/ }));
    const rows = marking.getByRole("group", { name: "Panels", exact: true });
    const first = await rows.getByRole("heading").first().innerText();
    await hand.press(rows.getByRole("button", { name: `Rename panel ${first}`, exact: true }));
    await hand.type(rows.getByLabel("Its new name"), "thrown");
    await page.keyboard.press("Escape");
    await expect.poll(() => rows.getByLabel("Its new name").inputValue()).toBe(first);
    await hand.type(rows.getByLabel("Its new name"), "shelf");
    await page.keyboard.press("Enter");
    await rows.getByRole("heading", { name: "shelf", exact: true }).waitFor();
    await expect.poll(() => focused(page)).toBe("Rename panel shelf");
    expect((await texts(running.folder))[0]).toMatch(/shelf += /);
  }, JOB_MS);
});
