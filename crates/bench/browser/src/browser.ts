/** The browser, and pages in it as different people have them. */

import { mkdir, readFile, writeFile } from "node:fs/promises";
import { extname, join } from "node:path";
import { type Browser, type BrowserContext, chromium, type Page } from "playwright-core";
import type { Running } from "./program";

const CHROMIUM = process.env.GUSSET_CHROMIUM ?? "/usr/bin/chromium";
/** Screenshots are kept here for whoever changed what they show; nowhere when it is not said. */
const SHOTS = process.env.GUSSET_SHOTS;

/** A page that was built by itself, shown in the place of the one in the program: for work on the page alone. */
const PAGE = process.env.GUSSET_PAGE;

/** How a page is looked at. */
export interface Look {
  name: string;
  width: number;
  height: number;
  dark: boolean;
  /** By fingers, not by a mouse. */
  touch: boolean;
}

export const LIGHT: Look = { name: "light", width: 1000, height: 800, dark: false, touch: false };
export const DARK: Look = { ...LIGHT, name: "dark", dark: true };
/** The narrowest that WCAG 2.2 reckons with (1.4.10). */
export const NARROW: Look = { name: "narrow", width: 320, height: 640, dark: false, touch: false };
export const NARROW_DARK: Look = { ...NARROW, name: "narrow-dark", dark: true };
export const TABLET: Look = { name: "tablet", width: 800, height: 1100, dark: false, touch: true };

const KINDS: Record<string, string> = {
  ".html": "text/html; charset=utf-8",
  ".js": "text/javascript; charset=utf-8",
  ".css": "text/css; charset=utf-8",
  ".svg": "image/svg+xml",
};

/** A browser; with further switches, one that lacks something. */
export function launched(switches: string[] = []): Promise<Browser> {
  return chromium.launch({ executablePath: CHROMIUM, args: ["--no-sandbox", "--disable-dev-shm-usage", ...switches] });
}

/** A page, and everything that it did which it should not. */
export interface Seen {
  page: Page;
  context: BrowserContext;
  /** Errors of the console, refusals of the policy, requests to anywhere else. */
  wrong: string[];
  /** Paths of what was asked to be written. */
  posts: string[];
}

export interface Opening {
  look: Look;
  /** For what is put into the page by a test; the policy itself is tested without it. */
  bypassCSP?: boolean;
  reducedMotion?: boolean;
}

/** Opens the sheet and waits for its answers. */
export async function opened(browser: Browser, running: Running, { look, bypassCSP, reducedMotion }: Opening): Promise<Seen> {
  const context = await browser.newContext({
    viewport: { width: look.width, height: look.height },
    colorScheme: look.dark ? "dark" : "light",
    reducedMotion: reducedMotion ? "reduce" : "no-preference",
    hasTouch: look.touch,
    bypassCSP: bypassCSP ?? false,
    acceptDownloads: true,
  });
  const page = await context.newPage();
  const own = new URL(running.address).origin;
  const wrong: string[] = [];
  const posts: string[] = [];
  page.on("console", (message) => {
    if (message.type() === "error") wrong.push(`console: ${message.text()}`);
  });
  page.on("pageerror", (error) => wrong.push(`error: ${error.message}`));
  page.on("request", (request) => {
    const url = new URL(request.url());
    if (url.origin !== own && url.protocol !== "data:" && url.protocol !== "blob:") wrong.push(`asked elsewhere: ${url}`);
    if (request.method() === "POST") posts.push(url.pathname);
  });
  if (PAGE) {
    await context.route(
      (url) => url.origin === own && !url.pathname.startsWith("/api/"),
      async (route) => {
        const name = new URL(route.request().url()).pathname.slice(1) || "index.html";
        const given = await route.fetch({ url: `${own}/` });
        const headers = { ...given.headers(), "content-type": KINDS[extname(name)] ?? "application/octet-stream" };
        await route.fulfill({ headers, body: await readFile(join(PAGE, name)) });
      },
    );
  }
  await page.goto(running.address);
  await page.getByRole("heading", { level: 1 }).waitFor();
  return { page, context, wrong, posts };
}

/** Waits until nothing is under way on the sheet. */
export async function settled(page: Page): Promise<void> {
  await page.waitForFunction(
    () =>
      !document.querySelector("main.older, main[data-writing]") &&
      [...document.querySelectorAll<HTMLElement>("main > section[data-stamp]")].every(
        (section) => section.dataset.stamp === section.parentElement?.dataset.stamp,
      ) &&
      !document.querySelector(".before") &&
      !/is being drawn|Working it out/.test(document.body.innerText),
  );
}

/** What has the focus, by its words: one that comes to it by a press comes a little after it. */
export const focused = (page: Page): Promise<string> =>
  page.evaluate(() => (document.activeElement as HTMLElement | null)?.innerText ?? "");

/** Opens everything that opens, so that all of it is looked at. What is folded up is made when it is opened. */
export async function unfolded(page: Page): Promise<void> {
  while (
    await page.evaluate(() => {
      const closed = [...document.querySelectorAll("details:not([open])")];
      for (const one of closed) one.setAttribute("open", "");
      return closed.length > 0;
    })
  ) {
    await page.waitForTimeout(200);
  }
}

/** Presses what opens by a press: one form of each kind that something new is said in, and the views in 3-D. */
export async function openedByPress(page: Page): Promise<void> {
  await page.locator("#mark-points").press("Enter");
  await page.locator("#ask").getByRole("button", { name: "Empty", exact: true }).press("Enter");
  await page.locator("#ask .questions input").waitFor();
  const adding = page.locator('.adding > button[aria-expanded="false"]');
  const names = (await adding.allInnerTexts()).filter((name) => name.startsWith("Add ") && name !== "Add a point");
  for (const name of new Set(names)) await adding.filter({ hasText: name }).first().press("Enter");
  await page.getByRole("button", { name: /^Rename / }).first().press("Enter");
  const solid = page.getByRole("button", { name: /^Show .* in 3-D$/ });
  while ((await solid.count()) > 0) {
    await solid.first().press("Enter");
    await page.waitForTimeout(400);
  }
  await page.waitForFunction(() => document.querySelectorAll(".solid canvas").length === document.querySelectorAll(".solid").length);
  await unfolded(page);
}

/** Keeps something for whoever changed what it shows. */
export async function kept(name: string, bytes: Buffer): Promise<void> {
  if (!SHOTS) return;
  await mkdir(SHOTS, { recursive: true });
  await writeFile(join(SHOTS, name), bytes);
}

export async function shot(page: Page, name: string): Promise<void> {
  if (SHOTS) await kept(`${name}.png`, await page.screenshot({ fullPage: true, timeout: 120_000 }));
}
