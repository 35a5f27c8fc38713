/** One browser and one program for the tests of a file. */

import type { Browser } from "playwright-core";
import { afterAll, beforeAll } from "vitest";
import { launched } from "./browser";
import { Running } from "./program";

export interface Sitting {
  readonly browser: Browser;
  readonly running: Running;
}

/** Starts both before the tests of this file, and ends them after; the program runs on a copy of an example. */
export function sitting(example: string): Sitting {
  let browser: Browser | undefined;
  let running: Running | undefined;
  const there = <T>(what: T | undefined): T => {
    if (what === undefined) throw new Error("it has not started yet");
    return what;
  };
  beforeAll(async () => {
    browser = await launched();
    running = await Running.on(example);
  });
  afterAll(async () => {
    await browser?.close();
    await running?.stop();
  });
  return {
    get browser() {
      return there(browser);
    },
    get running() {
      return there(running);
    },
  };
}
