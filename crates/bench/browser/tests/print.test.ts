/** What comes out of the printer: the sheet with its drawings, and nothing that is only pressed. */

import { describe, expect, it } from "vitest";
import { DARK, kept, opened, settled, unfolded } from "../src/browser";
import { sitting } from "../src/sitting";

const at = sitting("one-bend");

/** A4 less the browser's own margins, in px of 1/96 in. */
const PAPER_PX = Math.floor(((210 - 20) / 25.4) * 96);

describe("on paper", () => {
  it("has black words on white though the page is dark, the answers, the drawings, and no buttons", async () => {
    const { page, context } = await opened(at.browser, at.running, { look: { ...DARK, width: PAPER_PX } });
    await settled(page);
    await unfolded(page);
    await page.emulateMedia({ media: "print", colorScheme: "dark" });
    const faults = await page.evaluate(() => {
      const faults: string[] = [];
      const shown = (element: Element) => (element as HTMLElement).checkVisibility() && element.getBoundingClientRect().height > 0;
      const linear = (channel: number) => (channel <= 0.04045 ? channel / 12.92 : ((channel + 0.055) / 1.055) ** 2.4);
      const light = (colour: string) => {
        const [r = 0, g = 0, b = 0] = (colour.match(/[\d.]+/g) ?? []).map((word) => linear(Number(word) / 255));
        return 0.2126 * r + 0.7152 * g + 0.0722 * b;
      };
      for (const button of document.querySelectorAll("button, input, summary")) {
        if (shown(button)) faults.push(`printed: ${button.tagName} ${(button as HTMLElement).innerText}`);
      }
      if (light(getComputedStyle(document.body).backgroundColor) < 0.9) faults.push("the ground is not white");
      for (const words of document.querySelectorAll("h1, h2, p, td, th, li")) {
        if (shown(words) && light(getComputedStyle(words).color) > 0.1) faults.push(`faint: ${(words as HTMLElement).innerText.slice(0, 40)}`);
      }
      for (const question of ["Does it fit?", "Can it be cut?", "Can it be bent?", "Will it hold?"]) {
        if (![...document.querySelectorAll(".verdict")].some((one) => shown(one) && (one as HTMLElement).innerText.includes(question))) faults.push(`not printed: ${question}`);
      }
      const drawings = [...document.querySelectorAll('svg[role="img"]')].filter(shown);
      if (drawings.length < 3) faults.push(`${drawings.length} drawings are printed`);
      for (const drawing of drawings) {
        if (drawing.getBoundingClientRect().right > innerWidth + 1) faults.push("a drawing runs off the paper");
      }
      return faults;
    });
    expect(faults).toEqual([]);
    const pdf = await page.pdf({ format: "A4", margin: { top: "10mm", bottom: "10mm", left: "10mm", right: "10mm" } });
    await kept("printed.pdf", pdf);
    const pages = pdf.toString("latin1").match(/\/Type\s*\/Page[^s]/g)?.length ?? 0;
    console.info(`printed on ${pages} pages`);
    expect(pages).toBeGreaterThan(2);
    await context.close();
  });
});
