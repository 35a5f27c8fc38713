/** How this page is laid out for the person who uses it: kept in this browser, and nowhere in the job. */

/** After a press the same is not done again for so long, ms: a hand that shakes presses twice. */
export const SECOND_PRESS_MS = 300;

/** Every setting, its choices, and how each is said; the first is what holds when nothing was chosen. */
export const SETTINGS = {
  view: { asks: "How large", choices: { desk: "as at a desk", shop: "larger, as for gloves and a tablet in the shop" } },
  side: { asks: "Where the buttons are", choices: { right: "to the right", left: "to the left" } },
  colours: { asks: "Light or dark", choices: { device: "as the device has it", light: "light", dark: "dark" } },
  movement: { asks: "Movement", choices: { device: "as the device has it", less: "none" } },
  again: {
    asks: "A second press of the same button is taken for a shake of the hand",
    choices: { "300": "within 0.3 s", "600": "within 0.6 s", "1200": "within 1.2 s", "0": "never" },
  },
} as const;

export type Setting = keyof typeof SETTINGS;
export type Settings = Record<Setting, string>;

const KEPT = "gusset-settings";

function usual(): Settings {
  const all = Object.entries(SETTINGS).map(([name, { choices }]) => {
    // Keys that look like numbers come first in an object, whatever their order.
    const first = name === "again" ? String(SECOND_PRESS_MS) : Object.keys(choices)[0];
    return [name, first ?? ""];
  });
  return Object.fromEntries(all) as Settings;
}

let now = usual();

/** What was kept; what is none of the choices is as if it were not there. */
export function settingsKept(store: Pick<Storage, "getItem"> | null): Settings {
  const settings = usual();
  try {
    const kept: unknown = JSON.parse(store?.getItem(KEPT) ?? "{}");
    if (typeof kept !== "object" || kept === null) return settings;
    for (const [name, value] of Object.entries(kept)) {
      if (name in SETTINGS && value in SETTINGS[name as Setting].choices) settings[name as Setting] = value;
    }
  } catch {
    // A browser that keeps nothing, or something else by that name.
  }
  return settings;
}

/** Makes the page so, and keeps it. */
export function settle(settings: Settings, root: HTMLElement, store: Pick<Storage, "setItem"> | null): void {
  now = settings;
  for (const name of ["view", "side", "colours", "movement"] as const) root.dataset[name] = settings[name];
  try {
    store?.setItem(KEPT, JSON.stringify(settings));
  } catch {
    // It holds until the page is closed.
  }
}

/** The store of this browser, where it lets the page have one. */
export function browserStore(): Storage | null {
  try {
    return localStorage;
  } catch {
    return null;
  }
}

/** How long a second press is ignored, ms. */
export function secondPressMs(): number {
  return Number(now.again);
}

/** Whether nothing is to move. */
export function lessMovement(): boolean {
  return now.movement === "less" || matchMedia("(prefers-reduced-motion: reduce)").matches;
}

/** How large what is pressed is at least, px: `--target` in the style. */
export function targetPx(): number {
  return now.view === "shop" ? 72 : 56;
}
