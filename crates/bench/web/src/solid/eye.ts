/** From where a body is looked at: round it and up, in degrees, and how near. */

/** The views that have a name, in the order of their buttons. */
export const VIEWS = ["corner", "front", "back", "left", "right", "above", "below"] as const;
export type ViewName = (typeof VIEWS)[number];

/** What each is called on its button. */
export const VIEW_WORDS: Record<ViewName, string> = {
  corner: "From the corner",
  front: "From the front",
  back: "From behind",
  left: "From the left",
  right: "From the right",
  above: "From above",
  below: "From below",
};

export interface Eye {
  /** Round the upright axis, from x toward y. */
  round: number;
  /** Over the level plane. */
  up: number;
  /** 1 shows the whole; 2 shows it twice as large. */
  near: number;
}

/** The corner view is a true isometric one: every axis is shortened alike. */
const ISOMETRIC_UP = (Math.asin(1 / Math.sqrt(3)) * 180) / Math.PI;

const NAMED: Record<ViewName, [number, number]> = {
  corner: [-45, ISOMETRIC_UP],
  front: [-90, 0],
  back: [90, 0],
  left: [180, 0],
  right: [0, 0],
  above: [-90, 90],
  below: [-90, -90],
};

/** One press turns by this, degrees. */
export const TURN = 15;
/** One press brings it nearer by this. */
const NEARER = 1.25;
const NEAREST = 8;
const FARTHEST = 0.5;

export function eyeOf(view: ViewName, near = 1): Eye {
  const [round, up] = NAMED[view];
  return { round, up, near };
}

const within = (low: number, value: number, high: number) => Math.min(high, Math.max(low, value));

/** The same eye with the body turned: to the right, and its top toward the eye, degrees. */
export function turned(eye: Eye, right: number, down: number): Eye {
  // From -180 to 180.
  const round = ((((eye.round - right + 180) % 360) + 360) % 360) - 180;
  return { ...eye, round, up: within(-90, eye.up + down, 90) };
}

export type Turn = "left" | "right" | "up" | "down";

export function turnedBy(eye: Eye, turn: Turn): Eye {
  const by: Record<Turn, [number, number]> = { left: [-TURN, 0], right: [TURN, 0], up: [0, -TURN], down: [0, TURN] };
  return turned(eye, ...by[turn]);
}

export function nearer(eye: Eye, toward: 1 | -1): Eye {
  return { ...eye, near: within(FARTHEST, eye.near * NEARER ** toward, NEAREST) };
}

type Three = [number, number, number];

/** Unit directions: to the right and up in the picture, and from the body toward the eye. */
export function directions(eye: Eye): { right: Three; up: Three; toward: Three } {
  const [sin, cos] = [Math.sin((eye.round * Math.PI) / 180), Math.cos((eye.round * Math.PI) / 180)];
  const [high, level] = [Math.sin((eye.up * Math.PI) / 180), Math.cos((eye.up * Math.PI) / 180)];
  return {
    right: [-sin, cos, 0],
    up: [-high * cos, -high * sin, level],
    toward: [level * cos, level * sin, high],
  };
}

/** The named view that this is, if any. */
export function nameOf(eye: Eye): ViewName | null {
  const same = (a: number, b: number) => Math.abs(((((a - b + 180) % 360) + 360) % 360) - 180) < 1e-6;
  return (
    VIEWS.find((view) => {
      const [round, up] = NAMED[view];
      return Math.abs(eye.up - up) < 1e-6 && same(eye.round, round);
    }) ?? null
  );
}

/** "From the front", or how far from it: "30 degrees round to the right from the front, 15 degrees from above". */
export function eyeInWords(eye: Eye): string {
  const name = nameOf(eye);
  const near = Math.abs(eye.near - 1) < 1e-6 ? "" : `, drawn ${eye.near.toFixed(1)} times as large`;
  if (name) return VIEW_WORDS[name] + near;
  let aside = ((((eye.round + 90 + 180) % 360) + 360) % 360) - 180;
  if (aside > 179.5) aside = -180;
  const round = Math.round(Math.abs(aside));
  const side = round === 0 ? "From the front" : round === 180 ? "From behind" : `${round} degrees round to the ${aside > 0 ? "right" : "left"} from the front`;
  const up = Math.round(Math.abs(eye.up));
  return `${side}${up === 0 ? "" : `, ${up} degrees from ${eye.up > 0 ? "above" : "below"}`}${near}`;
}
