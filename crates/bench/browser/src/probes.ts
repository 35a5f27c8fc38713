/**
 * Our own rules for the page, which no engine holds: each probe gives what breaks its rule, in words, and nothing where
 * nothing does.
 */

import type { BrowserContext, Page } from "playwright-core";

/** What is pressed, typed into or chosen. A region that is only panned by the keyboard is none of it. */
const PRESSED = 'a[href], button, input, select, textarea, summary, [role="button"]';
/** What the keyboard comes to. */
const REACHED = 'a[href], button:not([disabled]), input:not([disabled]), select, textarea, summary, [tabindex="0"]';

/** Targets smaller than `least` px, either way. A choice is pressed by its label too. */
export function smallTargets(page: Page, least: number): Promise<string[]> {
  return page.evaluate(
    ([pressed, least]) => {
      const small: string[] = [];
      for (const element of document.querySelectorAll<HTMLElement>(pressed)) {
        const pressedBy = element.matches('[type="radio"], [type="checkbox"]') ? (element.closest("label") ?? element) : element;
        const { width, height, right } = pressedBy.getBoundingClientRect();
        // Not shown now: folded up, or waiting beside the page until the keyboard comes to it.
        if (width === 0 || height === 0 || right <= 0) continue;
        // Half a pixel is lost to rounding.
        if (width < least - 0.5 || height < least - 0.5) {
          small.push(`${element.tagName} "${(element.innerText || element.getAttribute("aria-label") || "").slice(0, 40)}" ${width.toFixed(1)} x ${height.toFixed(1)}`);
        }
      }
      return small;
    },
    [PRESSED, least] as const,
  );
}

/** What is wider than the window, outside what pans by itself. */
export function sideways(page: Page): Promise<string[]> {
  return page.evaluate(() => {
    const root = document.documentElement;
    if (root.scrollWidth <= innerWidth) return [];
    const pans = (element: Element | null): boolean => {
      for (let up = element?.parentElement ?? null; up && up !== document.body; up = up.parentElement) {
        if (getComputedStyle(up).overflowX !== "visible") return true;
      }
      return false;
    };
    const wide = [...document.querySelectorAll("body *")].filter(
      (element) => element.getBoundingClientRect().right > innerWidth + 0.5 && !pans(element),
    );
    return [
      `the page is ${root.scrollWidth} px wide in ${innerWidth}`,
      ...wide.slice(0, 8).map((element) => `${element.tagName}.${element.getAttribute("class") ?? ""}`),
    ];
  });
}

/** One stop of the focus. */
interface Stop {
  what: string;
  id: number;
  wrong: string | null;
}

/**
 * Goes through the page by Tab from its start: a stop whose focus is not drawn at least 3 px wide or is hidden, what is
 * never come to, and a place that the focus does not leave.
 */
export async function focusFaults(page: Page): Promise<string[]> {
  const total = await page.evaluate((reached) => {
    const seen = new Map<Element, number>();
    (window as unknown as { seen: Map<Element, number> }).seen = seen;
    const all = [...document.querySelectorAll<HTMLElement>(reached)].filter(
      (element) => element.checkVisibility() && element.tabIndex >= 0,
    );
    all.forEach((element, index) => seen.set(element, index));
    window.scrollTo(0, 0);
    (document.activeElement as HTMLElement | null)?.blur();
    return all.length;
  }, REACHED);
  const wrong: string[] = [];
  const come = new Set<number>();
  // A round through all, and a little more: a trap would go on.
  for (let press = 0; press < 2 * total + 10; press += 1) {
    await page.keyboard.press("Tab");
    const stop: Stop | null = await page.evaluate(() => {
      const { seen } = window as unknown as { seen: Map<Element, number> };
      const element = document.activeElement;
      if (!element || element === document.body || element === document.documentElement) return null;
      const what = `${element.tagName} "${((element as HTMLElement).innerText || element.getAttribute("aria-label") || (element as HTMLInputElement).value || "").slice(0, 40)}"`;
      const style = getComputedStyle(element);
      let wrong: string | null = null;
      if (style.outlineStyle === "none" || Number.parseFloat(style.outlineWidth) < 3) wrong = `its focus is drawn ${style.outlineStyle} ${style.outlineWidth}`;
      const box = element.getBoundingClientRect();
      const [left, right] = [Math.max(box.left, 0), Math.min(box.right, innerWidth)];
      const [top, bottom] = [Math.max(box.top, 0), Math.min(box.bottom, innerHeight)];
      const shows = [0.1, 0.5, 0.9].some((x) =>
        [0.1, 0.5, 0.9].some((y) => {
          const at = document.elementFromPoint(left + x * (right - left), top + y * (bottom - top));
          return at !== null && (element.contains(at) || at.contains(element) || (at instanceof HTMLLabelElement && at.control === element));
        }),
      );
      if (right <= left || bottom <= top || !shows) wrong = wrong ?? "its focus is hidden";
      return { what, id: seen.get(element) ?? -1, wrong };
    });
    if (!stop) {
      if (come.size >= total) break;
      continue;
    }
    if (come.has(stop.id) && come.size >= total) break;
    if (stop.id >= 0) come.add(stop.id);
    if (stop.wrong) wrong.push(`${stop.what}: ${stop.wrong}`);
  }
  const missed: string[] = await page.evaluate(
    (come) => {
      const { seen } = window as unknown as { seen: Map<Element, number> };
      const came = new Set(come);
      return [...seen]
        .filter(([element, id]) => {
          if (came.has(id)) return false;
          // Of a group of choices, one is a stop; the arrows go to the others.
          const name = element instanceof HTMLInputElement && element.type === "radio" ? element.name : null;
          return !name || ![...seen].some(([other, id]) => came.has(id) && other instanceof HTMLInputElement && other.name === name);
        })
        .map(([element]) => `${element.tagName} "${((element as HTMLElement).innerText || "").slice(0, 40)}" is never come to by Tab`);
    },
    [...come],
  );
  return [...new Set([...wrong, ...missed])];
}

/** What these listen to acts on a press or needs a drag, a hover, two presses or a wheel. */
const HELD = [
  "mousedown", "pointerdown", "touchstart", "mousemove", "pointermove", "touchmove", "dragstart", "dragover", "drop",
  "dblclick", "mouseenter", "mouseover", "pointerenter", "pointerover", "wheel", "contextmenu",
];
const BY_KEYBOARD_TOO = ["A", "BUTTON", "INPUT", "LABEL", "SELECT", "TEXTAREA", "SUMMARY", "DETAILS"];

/**
 * What is clicked and cannot be come to by keyboard, and what listens to presses, drags or hovering. An extra that has a
 * twin of single taps names it by `data-twin`, the id of the group of its buttons, which must be there.
 */
export async function listeningFaults(context: BrowserContext, page: Page): Promise<string[]> {
  const cdp = await context.newCDPSession(page);
  const { result } = await cdp.send("Runtime.evaluate", { expression: "document" });
  const { listeners } = await cdp.send("DOMDebugger.getEventListeners", { objectId: result.objectId ?? "", depth: -1, pierce: true });
  const wrong: string[] = [];
  for (const { type, backendNodeId } of listeners) {
    if (backendNodeId === undefined || !(HELD.includes(type) || type === "click")) continue;
    const { node } = await cdp.send("DOM.describeNode", { backendNodeId });
    const pairs = node.attributes ?? [];
    const attribute = (name: string) => pairs.find((_, index) => index % 2 === 1 && pairs[index - 1] === name);
    const what = `${node.nodeName} ${attribute("class") ?? ""}`.trim();
    if (type === "click") {
      if (!BY_KEYBOARD_TOO.includes(node.nodeName)) wrong.push(`${what} is clicked, and no keyboard comes to it`);
      continue;
    }
    const twin = attribute("data-twin");
    const buttons = twin ? await page.locator(`[id="${twin}"] button`).count() : 0;
    if (buttons === 0) wrong.push(`${what} listens to ${type} and has no twin of single taps`);
  }
  await cdp.detach();
  return [...new Set(wrong)];
}

/** Keys that do something while no field has the focus. */
export async function bareKeys(page: Page): Promise<string[]> {
  const state = () => page.evaluate(() => document.body.innerHTML.length + location.hash + document.activeElement?.tagName);
  await page.evaluate(() => (document.activeElement as HTMLElement | null)?.blur());
  const before = await state();
  const acting: string[] = [];
  for (const key of [..."abcdefghijklmnopqrstuvwxyz0123456789?/.,;-+=[]"]) {
    await page.keyboard.press(key);
    if ((await state()) !== before) {
      acting.push(key);
      break;
    }
  }
  return acting;
}

/** What moves although less movement is asked for. */
export function movingThings(page: Page): Promise<string[]> {
  return page.evaluate(() => {
    const moving: string[] = document.getAnimations().map((one) => `an animation ${one.id}`);
    const seconds = (words: string) => Math.max(...words.split(",").map((word) => (word.includes("ms") ? 0.001 : 1) * Number.parseFloat(word)));
    for (const element of document.querySelectorAll("html, body, body *")) {
      const style = getComputedStyle(element);
      if (seconds(style.transitionDuration) > 0.01 || seconds(style.animationDuration) > 0.01 || style.scrollBehavior === "smooth") {
        moving.push(`${element.tagName}.${element.getAttribute("class") ?? ""}`);
      }
    }
    return [...new Set(moving)];
  });
}

/** Lines of drawings with less contrast to the paper than `least`, and drawings without a title or a description. */
export function drawingFaults(page: Page, least: number): Promise<string[]> {
  return page.evaluate((least) => {
    const linear = (channel: number) => (channel <= 0.04045 ? channel / 12.92 : ((channel + 0.055) / 1.055) ** 2.4);
    // Relative luminance: WCAG 2.2, 1.4.3.
    const luminance = ([r, g, b]: number[]) => 0.2126 * linear((r ?? 0) / 255) + 0.7152 * linear((g ?? 0) / 255) + 0.0722 * linear((b ?? 0) / 255);
    const channels = (words: string) => (words.match(/[\d.]+/g) ?? []).map(Number);
    const faults: string[] = [];
    for (const drawing of document.querySelectorAll('svg[role="img"]')) {
      const name = drawing.querySelector(":scope > title")?.textContent ?? "";
      const told = drawing.querySelector(":scope > desc")?.textContent ?? "";
      if (name.trim() === "" || told.trim() === "") faults.push(`a drawing "${name}" has no title or no description`);
      let under: Element | null = drawing;
      while (under && /^rgba\(.*, 0\)$|^transparent$/.test(getComputedStyle(under).backgroundColor)) under = under.parentElement;
      const paper = luminance(channels(under ? getComputedStyle(under).backgroundColor : "rgb(255,255,255)"));
      for (const line of drawing.querySelectorAll("path, line, polyline, polygon, circle, ellipse, rect")) {
        if (line.closest("defs, pattern, clipPath, mask")) continue;
        const style = getComputedStyle(line);
        if (style.stroke === "none" || Number.parseFloat(style.strokeWidth) === 0) continue;
        // A patch drawn up to its edge, so that no gap shows between it and the next.
        if (style.stroke === style.fill) continue;
        const own = luminance(channels(style.stroke));
        const contrast = (Math.max(own, paper) + 0.05) / (Math.min(own, paper) + 0.05);
        // A line in the colour of the paper parts two fills, and is no line of its own.
        if (contrast < least && contrast > 1.05) faults.push(`"${name}": a line in ${style.stroke} has ${contrast.toFixed(1)}:1`);
      }
    }
    return [...new Set(faults)];
  }, least);
}
