import { describe, expect, it } from "vitest";
import { DARK, LIGHT, NARROW, NARROW_DARK, opened, openedByPress, settled, shot, unfolded } from "../src/browser";
import { violationsByAce, violationsByAxe } from "../src/engines";
import { sitting } from "../src/sitting";

/** Both engines look at each pair of thousands of things; they are not what is timed here. */
const LOOK_MS = 600_000;

const at = sitting("one-bend");

describe.each([LIGHT, DARK, NARROW, NARROW_DARK])("the whole sheet, $name", (look) => {
  it(
    "has no violation by either judge",
    async () => {
      const { page, context, wrong } = await opened(at.browser, at.running, { look, bypassCSP: true });
      await settled(page);
      await shot(page, `sheet-${look.name}`);
      expect(await violationsByAxe(page)).toEqual([]);
      expect(await violationsByAce(page)).toEqual([]);
      expect(wrong).toEqual([]);
      await context.close();
    },
    LOOK_MS,
  );
});

it.each([LIGHT, NARROW_DARK])(
  "has none with everything opened that opens, by either judge, $name",
  async (look) => {
    const { page, context } = await opened(at.browser, at.running, { look, bypassCSP: true });
    await settled(page);
    await unfolded(page);
    await openedByPress(page);
    await shot(page, `sheet-unfolded-${look.name}`);
    expect(await violationsByAxe(page)).toEqual([]);
    expect(await violationsByAce(page)).toEqual([]);
    await context.close();
  },
  LOOK_MS,
);
