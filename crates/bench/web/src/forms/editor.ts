/** Who a form writes for: a file at once, by each press of Keep; or a draft that is written as a whole by one press of Add. */

import type { Desk } from "../desk";
import type { Act, FileName, Job, Way } from "../types";
import type { Slot } from "./slots";

/** The next tap in the picture, for a form with places that take a point. */
export interface Arming {
  armed: Slot | null;
  /** Chooses the place that the next tap fills. */
  arm(slot: Pick<Slot, "way" | "end">): void;
  /** Where the draft's own places begin in the ways of the file. */
  root: Way;
}

/** The picture whose taps a form may take. */
export interface Tapping {
  /** From now on taps go to this form; `says` tells what the next one fills. */
  take(owner: object, tap: (name: string) => void, says: string | null): void;
  leave(owner: object): void;
}

export interface Editor {
  desk: Desk;
  job: Job;
  file: FileName;
  /** Each value is written by its own Keep. */
  kept: boolean;
  act(acts: Act[], says: string): Promise<boolean>;
  arming?: Arming;
  tapping?: Tapping;
}

/** Writes nothing: what would be written to a file is worked out, so that it has come when it is. */
export function aheadOf(editor: Editor): Editor {
  return {
    ...editor,
    act: async (acts, says) => {
      if (editor.kept) editor.desk.ahead(editor.file, acts, says);
      return true;
    },
  };
}

export function keptEditor(desk: Desk, job: Job, file: FileName): Editor {
  return { desk, job, file, kept: true, act: (acts, says) => desk.act(file, acts, says) };
}
