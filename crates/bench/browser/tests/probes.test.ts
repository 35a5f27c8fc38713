/** The probes themselves, each on a page that breaks its rule and on one that keeps it. */

import type { Browser, BrowserContext, Page } from "playwright-core";
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, it } from "vitest";
import { launched } from "../src/browser";
import { violationsByAce, violationsByAxe } from "../src/engines";
import { bareKeys, drawingFaults, focusFaults, listeningFaults, movingThings, sideways, smallTargets } from "../src/probes";

let browser: Browser;
let context: BrowserContext;
let page: Page;

beforeAll(async () => {
  browser = await launched();
});
afterAll(async () => {
  await browser.close();
});
beforeEach(async () => {
  context = await browser.newContext({ viewport: { width: 320, height: 640 }, reducedMotion: "reduce" });
  page = await context.newPage();
});
afterEach(async () => {
  await context.close();
});

const FOCUS = "<style>:focus-visible { outline: 3px solid #000; outline-offset: 2px; }</style>";
const show = (body: string) => page.setContent(`<!doctype html><html lang="en"><title>Probe</title>${FOCUS}<main>${body}</main></html>`);

describe("a probe finds what breaks its rule, and nothing else", () => {
  it("small targets", async () => {
    await show('<button style="width:56px;height:56px">A</button>');
    expect(await smallTargets(page, 56)).toEqual([]);
    expect(await smallTargets(page, 72)).toHaveLength(1);
    await show('<button style="width:56px;height:40px">A</button><label style="display:block;height:60px"><input type="radio">B</label>');
    expect(await smallTargets(page, 56)).toHaveLength(1);
  });

  it("sideways scrolling, and not what pans by itself", async () => {
    await show('<div style="overflow-x:auto"><p style="width:600px">wide</p></div>');
    expect(await sideways(page)).toEqual([]);
    await show('<p style="width:600px">wide</p>');
    expect(await sideways(page)).not.toEqual([]);
  });

  it("focus that is not seen, is hidden, is never come to or is held", async () => {
    await show('<button>A</button><button>B</button><fieldset><legend>C</legend><label><input type="radio" name="c">1</label><label><input type="radio" name="c">2</label></fieldset>');
    expect(await focusFaults(page)).toEqual([]);
    await show('<button style="outline:none">A</button><button>B</button>');
    expect(await focusFaults(page)).toEqual([expect.stringContaining("its focus is drawn")]);
    await show('<div style="position:fixed;inset:0;background:#fff"></div><button>A</button>');
    expect(await focusFaults(page)).toEqual([expect.stringContaining("hidden")]);
    await show('<button id="a">A</button><button id="b">B</button><button id="c">C</button>');
    await page.evaluate(() => {
      document.getElementById("b")?.addEventListener("keydown", (event) => {
        if (event.key === "Tab") event.preventDefault();
      });
    });
    expect(await focusFaults(page)).toEqual([expect.stringContaining('"C" is never come to')]);
  });

  it("listening to presses, drags and clicks out of the keyboard's reach", async () => {
    await show('<button id="a">A</button><div id="d">D</div><div id="e" data-twin="t">E</div><div id="t"><button>turn</button></div>');
    const listen = (id: string, type: string) =>
      page.evaluate(([id, type]) => document.getElementById(id ?? "")?.addEventListener(type ?? "", () => {}), [id, type]);
    await listen("a", "click");
    await listen("e", "pointermove");
    expect(await listeningFaults(context, page)).toEqual([]);
    await listen("d", "click");
    await listen("a", "mousedown");
    expect(await listeningFaults(context, page)).toHaveLength(2);
  });

  it("keys that act by themselves", async () => {
    await show("<p>A</p>");
    expect(await bareKeys(page)).toEqual([]);
    await page.evaluate(() => document.addEventListener("keydown", (event) => event.key === "u" && document.body.append("undone")));
    expect(await bareKeys(page)).toEqual(["u"]);
  });

  it("movement", async () => {
    await show("<p>A</p>");
    expect(await movingThings(page)).toEqual([]);
    await show('<p style="transition: opacity 300ms">A</p>');
    expect(await movingThings(page)).toHaveLength(1);
  });

  it("faint lines and drawings without words", async () => {
    const drawing = (stroke: string, words: string) => `<svg role="img" viewBox="0 0 9 9">${words}<path d="M0 0L9 9" fill="none" stroke="${stroke}"/></svg>`;
    await show(drawing("#16212a", "<title>T</title><desc>D</desc>"));
    expect(await drawingFaults(page, 4.5)).toEqual([]);
    await show(drawing("#bbb", "<title>T</title><desc>D</desc>") + drawing("#16212a", ""));
    expect(await drawingFaults(page, 4.5)).toHaveLength(2);
  });

  it("what the engines hold", async () => {
    await show('<h1>T</h1><img src="data:,"><p style="color:#666;background:#fff">grey</p>');
    const axe = await violationsByAxe(page);
    expect(axe.some((says) => says.startsWith("image-alt"))).toBe(true);
    expect(axe.some((says) => says.startsWith("color-contrast-enhanced"))).toBe(true);
    expect(await violationsByAce(page)).not.toEqual([]);
  });
});
