/** The whole job of one-bend from nothing: asked, marked out, measured and made, by three kinds of hands. */

import { readFile, readdir } from "node:fs/promises";
import { join } from "node:path";
import type { Browser, Page } from "playwright-core";
import { afterAll, beforeAll, describe, expect, it, onTestFailed, onTestFinished } from "vitest";
import { LIGHT, launched, opened, settled, shot, TABLET } from "../src/browser";
import { byKeyboard, byTaps, type Hand } from "../src/hand";
import { Running } from "../src/program";

/** What is answered; to all else, what is usual. */
const ANSWERS: Record<string, string> = {
  title: "Mallet holder angle",
  purpose: "Holds a mallet on the side of a bench.",
  onto: "a wooden bench",
  weight: "no",
  held: "no",
  control: "no",
  feels: "yes",
  release: "yes",
  hand: "right",
  unit: "mm",
  stock: "A36 3 mm",
  form: "one bend",
  width: "45",
  leg: "50",
  other_leg: "75",
  bent: "90 deg",
  bolt: "M8",
  loads: "later",
};

/** A slow hand on a busy machine; nothing on the page waits for it. */
const WHOLE_JOB_MS = 480_000;

interface Question {
  key: string;
  usual: string;
  choices: string[];
}

let browser: Browser;
beforeAll(async () => {
  browser = await launched();
});
afterAll(async () => {
  await browser.close();
});

/** Answers the questions as they come. */
async function answered(page: Page, hand: Hand, first: Promise<Question | null>): Promise<void> {
  let question = await first;
  for (let asked = 0; question && asked < 60; asked += 1) {
    const word = ANSWERS[question.key] ?? "";
    const next = nextQuestion(page);
    if (question.choices.length > 0) {
      const choice = word || question.usual;
      await hand.press(page.locator(".questions").getByRole("button", { name: new RegExp(`^${choice}( \\(usual\\))?$`) }));
    } else {
      const field = page.locator(".questions input[type=text]");
      if (word) await hand.type(field, word);
      await hand.press(page.locator(".questions").getByRole("button", { name: /^(Next|Take )/ }));
    }
    question = await next;
    // A second press within 0.3 s is a shake of the hand.
    await page.waitForTimeout(350);
  }
}

async function nextQuestion(page: Page): Promise<Question | null> {
  const response = await page.waitForResponse((response) => response.url().endsWith("/api/start/questions"));
  return ((await response.json()) as { next: Question | null }).next;
}

const HANDS: [string, boolean, (page: Page) => Hand][] = [
  ["by keyboard alone", false, byKeyboard],
  ["by single taps", true, (page) => byTaps(page, 0)],
  ["by taps up to 22 px off", true, (page) => byTaps(page, 22)],
];

describe.each(HANDS)("one-bend from nothing, %s", (name, touch, of) => {
  it("is asked, marked out, measured and made", async () => {
    const running = await Running.on();
    onTestFinished(() => running.stop());
    const { page, context, wrong } = await opened(browser, running, { look: touch ? TABLET : LIGHT });
    // What is seen when it goes wrong is kept.
    onTestFailed(() => shot(page, `from-nothing-failed-${name.replaceAll(" ", "-")}`));
    const hand = of(page);
    const first = nextQuestion(page);
    await hand.press(page.getByRole("button", { name: "From nothing" }));
    await answered(page, hand, first);
    await hand.press(page.getByRole("button", { name: "Start the job" }));
    await page.getByRole("heading", { level: 1, name: ANSWERS.title, exact: true }).waitFor();
    await settled(page);
    const design = () => readFile(join(running.folder, "design.toml"), "utf8");
    expect(await design()).toContain('title    = "Mallet holder angle"');

    // Round a corner: chosen in the picture, and typed.
    const marking = page.locator("#mark-out");
    await hand.press(marking.getByRole("button", { name: /^Point A$/ }).first());
    await hand.press(marking.getByRole("button", { name: "Work the corner A" }));
    await hand.type(marking.locator(".add-form").getByLabel(/how much$/).first(), "6 mm");
    await hand.press(marking.locator(".add-form").getByRole("button", { name: "Add", exact: true }));
    await marking.getByText(/^Added:/).waitFor();
    expect(await design()).toMatch(/A = "round 6 mm"/);
    await hand.press(marking.locator(".add-form").getByRole("button", { name: "Leave it" }));
    await settled(page);

    // One reading at a time, large: the first is the width.
    const measuring = page.locator("#measure");
    const told = (says: RegExp) => page.waitForFunction((says) => new RegExp(says).test(document.querySelector(".told")?.textContent ?? ""), says.source);
    await hand.type(measuring.getByLabel("What the instrument shows").first(), "1-25/32 in");
    await measuring.getByText(/Understood: 45\.2 mm/).first().waitFor();
    await hand.press(measuring.locator(".one-reading").getByRole("button", { name: "Keep", exact: true }));
    await told(/width/);
    await settled(page);
    expect(await design()).toMatch(/width +=.*"1-25\/32 in"/);

    // Taken back and done again by the one big undo.
    await hand.press(page.getByRole("button", { name: /^Take back/ }));
    await told(/^Taken back/);
    expect(await design()).toMatch(/width +=.*"45"/);
    await page.waitForTimeout(350);
    await hand.press(page.getByRole("button", { name: /^Do again/ }));
    await told(/^Done again/);
    await settled(page);

    // Everything for the shop.
    await hand.press(page.locator("#make").getByRole("button", { name: "Write the files" }));
    await page.locator("#make").getByText(/files are written into/).waitFor({ timeout: 60_000 });
    const made = await readdir(join(running.folder, "out"), { recursive: true });
    for (const file of ["blank.svg", "template.pdf"]) expect(made.some((name) => name.endsWith(file)), `${file} in ${made}`).toBe(true);
    await shot(page, `from-nothing-${name.replaceAll(" ", "-")}`);
    expect(wrong).toEqual([]);
    await context.close();
  }, WHOLE_JOB_MS);
});
