import { afterEach, describe, expect, it } from "vitest";
import { DARK, LIGHT, NARROW, type Look, opened, openedByPress, type Seen, settled, unfolded } from "../src/browser";
import { bareKeys, drawingFaults, focusFaults, listeningFaults, movingThings, sideways, smallTargets } from "../src/probes";
import { sitting } from "../src/sitting";

const TARGET_PX = 56;
const LINE_CONTRAST = 4.5;

const at = sitting("one-bend");
let seen: Seen;
afterEach(async () => {
  await seen.context.close();
});

async function sheet(look: Look, reducedMotion = false): Promise<Seen> {
  seen = await opened(at.browser, at.running, { look, reducedMotion });
  await settled(seen.page);
  await unfolded(seen.page);
  await openedByPress(seen.page);
  return seen;
}

describe.each([LIGHT, NARROW])("at $width px", (look) => {
  it("every target is large enough, and nothing scrolls sideways", async () => {
    const { page } = await sheet(look);
    expect(await smallTargets(page, TARGET_PX)).toEqual([]);
    expect(await sideways(page)).toEqual([]);
  });
});

describe("with text of twice the size", () => {
  it("nothing scrolls sideways", async () => {
    const { page } = await sheet(LIGHT);
    await page.evaluate(() => {
      document.documentElement.style.fontSize = "225%";
    });
    expect(await sideways(page)).toEqual([]);
  });

  it("nor with the spacing of WCAG 1.4.12 at 320 px", async () => {
    const { page } = await sheet(NARROW);
    await page.evaluate(() => {
      const style = document.body.style;
      [style.lineHeight, style.letterSpacing, style.wordSpacing] = ["1.5", "0.12em", "0.16em"];
    });
    expect(await sideways(page)).toEqual([]);
  });
});

describe("by keyboard", () => {
  it("every control is come to, its focus is seen, and nothing holds it", async () => {
    const { page } = await sheet(LIGHT);
    expect(await focusFaults(page)).toEqual([]);
  }, 480_000);

  it("no bare key does anything", async () => {
    const { page, posts } = await sheet(LIGHT);
    expect(await bareKeys(page)).toEqual([]);
    expect(posts.filter((path) => path === "/api/act")).toEqual([]);
  });
});

describe("by hand", () => {
  it("nothing acts on a press, needs a drag or a hover, or is clicked and not reached by keyboard", async () => {
    const { page, context } = await sheet(LIGHT);
    expect(await listeningFaults(context, page)).toEqual([]);
  });
});

describe("for the eye", () => {
  it("nothing moves where less movement is asked for", async () => {
    const { page } = await sheet(LIGHT, true);
    expect(await movingThings(page)).toEqual([]);
  });

  it.each([LIGHT, DARK])("lines of drawings stand out from the paper, $name, and each drawing is described", async (look) => {
    const { page } = await sheet(look);
    expect(await drawingFaults(page, LINE_CONTRAST)).toEqual([]);
  });
});
