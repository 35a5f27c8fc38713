/** What presses do: on release, once, never lost; and what the page may not do at all. */

import { readFile, writeFile } from "node:fs/promises";
import { join } from "node:path";
import type { Browser, Page } from "playwright-core";
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, it } from "vitest";
import { focused, LIGHT, launched, opened, type Seen, settled, unfolded } from "../src/browser";
import { Running } from "../src/program";

let browser: Browser;
let running: Running;
let seen: Seen;

beforeAll(async () => {
  browser = await launched();
});
afterAll(async () => {
  await browser.close();
});
beforeEach(async () => {
  running = await Running.on("one-bend");
  seen = await opened(browser, running, { look: LIGHT });
  await settled(seen.page);
  await unfolded(seen.page);
});
afterEach(async () => {
  await seen.context.close();
  await running.stop();
});

const design = () => readFile(join(running.folder, "design.toml"), "utf8");
const title = (page: Page) => page.getByLabel("What it is called").first();

async function titled(page: Page, words: string): Promise<void> {
  await title(page).fill(words);
  await title(page).press("Enter");
  await page.getByRole("heading", { level: 1, name: words, exact: true }).waitFor();
  await settled(page);
}

describe("a press", () => {
  it("acts when it is let go on the button, and not before", async () => {
    const { page, posts } = seen;
    await title(page).fill("Mallet holder");
    const keep = page.getByRole("button", { name: "Keep", exact: true }).first();
    const box = await keep.boundingBox();
    if (!box) throw new Error("the button is shown");
    await page.mouse.move(box.x + 20, box.y + 20);
    await page.mouse.down();
    await page.waitForTimeout(150);
    expect(posts).not.toContain("/api/act");
    await page.mouse.move(5, 5);
    await page.mouse.up();
    await page.waitForTimeout(150);
    expect(posts).not.toContain("/api/act");
    await keep.click();
    await page.getByRole("heading", { level: 1, name: "Mallet holder", exact: true }).waitFor();
    // It is shown before it is written.
    await settled(page);
    expect(await design()).toContain('title    = "Mallet holder"');
  });

  it("counts once when it is made twice right after each other", async () => {
    const { page, posts } = seen;
    await titled(page, "First");
    await titled(page, "Second");
    await page.getByRole("button", { name: /^Take back/ }).dblclick({ delay: 10 });
    await settled(page);
    await page.waitForTimeout(400);
    expect(posts.filter((path) => path === "/api/undo")).toHaveLength(1);
    expect(await design()).toContain('"First"');
  });

  it("leaves the focus where the person is", async () => {
    const { page } = seen;
    await titled(page, "Third");
    await expect.poll(() => page.evaluate(() => document.activeElement?.tagName)).toBe("INPUT");
    await page.getByRole("button", { name: /^Take back/ }).press("Enter");
    await settled(page);
    await expect.poll(() => page.evaluate(() => document.activeElement?.tagName)).toBe("BUTTON");
  });
});

describe("a form", () => {
  it("is left to where it was opened: a point to its button in the picture", async () => {
    const { page } = seen;
    const point = page.locator("#mark-out").getByRole("button", { name: /^Point A$/ }).first();
    await point.press("Enter");
    await page.locator("#mark-out .add-form").getByRole("button", { name: "Leave it" }).press("Enter");
    await page.locator("#mark-out .add-form").waitFor({ state: "detached" });
    await expect.poll(() => focused(page)).toMatch(/^Point\s+A$/);
  });

  it("with something in it is not emptied by its opener or by Esc without a word", async () => {
    const { page } = seen;
    const [opener, form] = [page.locator("#mark-points"), page.locator("#mark-out .add-form")];
    await opener.press("Enter");
    const name = form.getByLabel("Name", { exact: true });
    const proposed = await name.inputValue();
    await name.fill("Nose");
    await name.press("Escape");
    await expect.poll(() => name.inputValue()).toBe(proposed);
    await name.fill("Nose");
    // A second press of one button right after the first is a shake of the hand.
    await page.waitForTimeout(350);
    await opener.press("Enter");
    await page.locator(".tap-says").getByText("Leave it once more").waitFor();
    expect(await name.inputValue()).toBe("Nose");
    await page.waitForTimeout(350);
    await opener.press("Enter");
    await form.waitFor({ state: "detached" });
    await expect.poll(() => focused(page)).toBe("Add a point");
  });
});

describe("work on a job", () => {
  it("is taken back without end, also after the program was started again, with every note kept", async () => {
    const { page } = seen;
    const before = await design();
    for (const words of ["One", "Two", "Three"]) await titled(page, words);
    await seen.context.close();
    running = await running.again();
    seen = await opened(browser, running, { look: LIGHT });
    await settled(seen.page);
    for (let undone = 0; undone < 3; undone += 1) {
      const says = await seen.page.getByRole("status").first().innerText();
      await seen.page.getByRole("button", { name: /^Take back/ }).click();
      await seen.page.waitForFunction((says) => document.querySelector(".told")?.textContent !== says, says);
      await settled(seen.page);
      await seen.page.waitForTimeout(350);
    }
    expect(await design()).toBe(before);
  });

  it("shows what a text editor wrote, and never writes over it", async () => {
    const { page } = seen;
    const text = await design();
    // The page does not hear of it before the key is pressed.
    await page.route("**/api/changed*", () => undefined);
    await page.evaluate(() => window.stop());
    await title(page).fill("Typed here");
    await writeFile(join(running.folder, "design.toml"), text.replace("Mallet holder angle", "Edited outside"));
    await title(page).press("Enter");
    await page.getByRole("heading", { level: 1, name: "Edited outside" }).waitFor();
    expect(await design()).toContain("Edited outside");
    await page.getByText(/Changed outside|has changed meanwhile/).first().waitFor();
  });

  it("keeps what is typed while a text editor writes, and says what the file says now", async () => {
    const { page } = seen;
    await title(page).fill("Typed here");
    await writeFile(join(running.folder, "design.toml"), (await design()).replace("Mallet holder angle", "Edited outside"));
    await page.getByText("The file says Edited outside now.").first().waitFor();
    expect(await title(page).inputValue()).toBe("Typed here");
    await title(page).press("Escape");
    await expect.poll(() => title(page).inputValue()).toBe("Edited outside");
  });
});

describe("what was worked out ahead", () => {
  /** Types a title and waits until the page has what it comes to. */
  const foreseen = async (page: Page, words: string) => {
    const there = page.waitForResponse(async (response) => {
      if (!response.url().includes("/api/ahead")) return false;
      return ((await response.json()) as { job: { working: string[] } | null }).job?.working.length === 0;
    });
    await title(page).fill(words);
    await there;
  };

  it("is shown with the press, before it stands in the file", async () => {
    const { page } = seen;
    await foreseen(page, "Shown at once");
    let write: () => void = () => undefined;
    const held = new Promise<void>((done) => (write = done));
    await page.route("**/api/act*", async (route) => {
      await held;
      await route.continue();
    });
    await title(page).press("Enter");
    await page.getByRole("heading", { level: 1, name: "Shown at once", exact: true }).waitFor();
    await page.getByText("It is being written into the file.").waitFor();
    expect(await design()).not.toContain("Shown at once");
    write();
    await settled(page);
    expect(await design()).toContain("Shown at once");
    await page.getByRole("button", { name: "Take back: title Shown at once" }).waitFor();
  });

  it("goes again where it is not written after all, and what was typed stands in its field", async () => {
    const { page } = seen;
    await foreseen(page, "Never written");
    await page.route("**/api/act*", (route) => route.abort());
    await title(page).press("Enter");
    await page.getByRole("alert").getByText("The program does not answer.").waitFor();
    await page.getByRole("heading", { level: 1, name: "Mallet holder angle", exact: true }).waitFor();
    await expect.poll(() => title(page).inputValue()).toBe("Never written");
    expect(await design()).not.toContain("Never written");
    await page.unroute("**/api/act*");
    await title(page).press("Enter");
    await page.getByRole("heading", { level: 1, name: "Never written", exact: true }).waitFor();
    await settled(page);
    expect(await design()).toContain("Never written");
  });
});

describe("the page", () => {
  it("keeps to its policy and asks nowhere else", async () => {
    await titled(seen.page, "Quiet");
    expect(seen.wrong).toEqual([]);
  });

  it("runs nothing that is put into it", async () => {
    const { page } = seen;
    const ran = await page.evaluate(() => {
      const script = document.createElement("script");
      script.textContent = "window.ran = true";
      document.body.append(script);
      return (window as unknown as { ran?: boolean }).ran ?? false;
    });
    expect(ran).toBe(false);
    expect(seen.wrong.some((says) => says.includes("Content Security Policy") || says.includes("script-src"))).toBe(true);
  });

  it("is light enough, and painted at once", async () => {
    const { page } = seen;
    const { bytes, paint } = await page.evaluate(() => {
      const own = performance.getEntriesByType("resource") as PerformanceResourceTiming[];
      const files = own.filter((entry) => !entry.name.includes("/api/"));
      const paints = performance.getEntriesByName("first-contentful-paint");
      return { bytes: files.reduce((sum, entry) => sum + entry.encodedBodySize, 0), paint: paints[0]?.startTime ?? Number.NaN };
    });
    console.info(`the page: ${(bytes / 1024).toFixed(0)} kB as given out, first paint after ${paint.toFixed(0)} ms`);
    expect(bytes).toBeLessThan(350 * 1024);
    expect(paint).toBeLessThan(Number(process.env.GUSSET_PAINT_MS ?? 5000));
  });
});
