/** The buttons at the head of a card: what begins from what was chosen, what takes it out, what leaves it; and its other name. */

import type { ComponentChildren } from "preact";
import type { Desk } from "../desk";
import { Renaming } from "../forms/renaming";
import { Press } from "../press";
import type { Thing } from "./targets";

export interface CardActsProps {
  desk: Desk;
  thing: Thing;
  /** The design says it now. */
  there: boolean;
  out: () => void;
  leave: () => void;
  follow: (from: string, to: string) => void;
  /** Buttons for what begins from it. */
  children: ComponentChildren;
}

export function CardActs({ desk, thing: { is, name }, there, out, leave, follow, children }: CardActsProps) {
  return (
    <>
      <div class="acts">
        {children}
        <Press plain onPress={out} waits={desk.busy || !there}>
          Take {name} out
        </Press>
        <Press plain onPress={leave}>
          Leave it
        </Press>
      </div>
      {there && (
        <div class="acts">
          <Renaming desk={desk} what={is} name={name} follow={follow} />
        </div>
      )}
    </>
  );
}
