/** Three ways of working the page: by keyboard alone, by single taps, and by taps of a hand that shakes. */

import type { Locator, Page } from "playwright-core";

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

/** Taps that land up to `off_px` from the middle of what is meant. */
export function byTaps(page: Page, off_px: number): Hand {
  const roll = dice(20260729);
  const tap = async (what: Locator) => {
    await what.waitFor();
    await what.scrollIntoViewIfNeeded();
    // What stays in sight above may lie over it: then a person moves the page on.
    await what.evaluate((element) => element.scrollIntoView({ block: "center" }));
    const label = what.locator("xpath=ancestor::label[1]");
    const pressed = (await label.count()) > 0 ? label : what;
    const box = await pressed.boundingBox();
    if (!box) throw new Error(`${what} is not shown`);
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
