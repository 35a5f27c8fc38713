/** Three ways of working the page: by keyboard alone, by single taps, and by taps of a hand that shakes. */

import type { Locator, Page } from "playwright-core";
import { settled } from "./browser";

export interface Hand {
  name: string;
  /** By fingers on a screen. */
  touch: boolean;
  /** Presses a button, a choice or a link. */
  press(what: Locator): Promise<void>;
  /** Types into a field, over what is there. */
  type(what: Locator, text: string): Promise<void>;
}

/** A focus goes round a page in fewer steps than this. */
const MOST_TABS = 1500;

/** Goes to something by Tab alone, from wherever the focus is. */
async function goTo(page: Page, what: Locator): Promise<void> {
  const element = await what.elementHandle();
  for (let presses = 0; presses < MOST_TABS; presses += 1) {
    const there = await element?.evaluate((element) => {
      const active = document.activeElement;
      if (active === element) return true;
      // Of a group of choices one has the stop, and arrows go to the others.
      return (
        active instanceof HTMLInputElement &&
        element instanceof HTMLInputElement &&
        active.type === "radio" &&
        active.name !== "" &&
        active.name === element.name
      );
    });
    if (there) return;
    await page.keyboard.press("Tab");
  }
  throw new Error(`the keyboard does not come to ${what}`);
}

export function byKeyboard(page: Page): Hand {
  return {
    name: "by keyboard alone",
    touch: false,
    async press(what) {
      await what.waitFor();
      await goTo(page, what);
      const isRadio = await what.evaluate((element) => element instanceof HTMLInputElement && element.type === "radio");
      if (!isRadio) {
        await page.keyboard.press("Enter");
        return;
      }
      for (let arrows = 0; arrows < 40 && !(await what.isChecked()); arrows += 1) {
        await page.keyboard.press(arrows === 0 ? "Space" : "ArrowDown");
      }
    },
    async type(what, text) {
      await what.waitFor();
      await goTo(page, what);
      await page.keyboard.press("ControlOrMeta+a");
      await page.keyboard.type(text);
    },
  };
}

/** A number from 0 to 1, the same ones in every run (Park and Miller, 1988). */
function dice(seed: number): () => number {
  let state = seed;
  return () => {
    state = (state * 48271) % 2147483647;
    return state / 2147483647;
  };
}

/** Where something lies once it has stopped moving: drawings that come late push on what stands under them. */
async function resting(page: Page, what: Locator): Promise<{ x: number; y: number; width: number; height: number }> {
  let before = await what.boundingBox();
  let rests = 0;
  for (let looks = 0; looks < 100; looks += 1) {
    await page.waitForTimeout(120);
    const now = await what.boundingBox();
    const inSight = now !== null && now.y >= 0 && now.y + now.height <= (page.viewportSize()?.height ?? 0);
    rests = now && before && inSight && now.x === before.x && now.y === before.y ? rests + 1 : 0;
    if (now && rests >= 4) return now;
    if (!inSight) await what.evaluate((element) => element.scrollIntoView({ block: "center" }));
    before = now;
  }
  throw new Error(`${what} does not come to rest`);
}

/** Taps that land up to `off_px` from the middle of what is meant. */
export function byTaps(page: Page, off_px: number): Hand {
  const roll = dice(20260729);
  const tap = async (what: Locator) => {
    await what.waitFor();
    await settled(page);
    await what.scrollIntoViewIfNeeded();
    // What stays in sight above may lie over it: then a person moves the page on.
    await what.evaluate((element) => element.scrollIntoView({ block: "center" }));
    const label = what.locator("xpath=ancestor::label[1]");
    const pressed = (await label.count()) > 0 ? label : what;
    const box = await resting(page, pressed);
    const way = 2 * Math.PI * roll();
    const far = off_px * Math.sqrt(roll());
    await page.touchscreen.tap(box.x + box.width / 2 + far * Math.cos(way), box.y + box.height / 2 + far * Math.sin(way));
  };
  return {
    name: off_px === 0 ? "by single taps" : `by taps up to ${off_px} px off`,
    touch: true,
    press: tap,
    async type(what, text) {
      await tap(what);
      // The keyboard of the screen writes into what has the focus.
      if (!(await what.evaluate((element) => element === document.activeElement))) throw new Error(`a tap did not come to ${what}`);
      await page.keyboard.press("ControlOrMeta+a");
      await page.keyboard.type(text);
    },
  };
}
