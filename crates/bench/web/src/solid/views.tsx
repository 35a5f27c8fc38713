/** The named views as buttons: which one is chosen is said by its word and its mark. */

import { Press } from "../press";
import { VIEW_WORDS, VIEWS, type ViewName } from "./eye";

export function Views({ called, chosen, choose }: { called: string; chosen: ViewName; choose: (name: ViewName) => void }) {
  return (
    <div class="buttons" role="group" aria-label={`${called}: where it is looked at from`}>
      {VIEWS.map((name) => (
        <Press key={name} plain={name !== chosen} class={name === chosen ? "chosen" : undefined} pressed={name === chosen} onPress={() => choose(name)}>
          {name === chosen ? "✓ " : ""}
          {VIEW_WORDS[name]}
        </Press>
      ))}
    </div>
  );
}
