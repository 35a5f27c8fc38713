/** The named views as buttons: which one is chosen is said by its word and its mark. */

import { useOnce } from "../desk";
import { VIEW_WORDS, VIEWS, type ViewName } from "./eye";

function ViewButton({ name, chosen, choose }: { name: ViewName; chosen: boolean; choose: (name: ViewName) => void }) {
  const once = useOnce(() => choose(name));
  return (
    <button type="button" class={chosen ? "chosen" : "plain"} aria-pressed={chosen} onClick={once}>
      {chosen ? "✓ " : ""}
      {VIEW_WORDS[name]}
    </button>
  );
}

export function Views({ called, chosen, choose }: { called: string; chosen: ViewName; choose: (name: ViewName) => void }) {
  return (
    <div class="buttons" role="group" aria-label={`${called}: where it is looked at from`}>
      {VIEWS.map((name) => (
        <ViewButton key={name} name={name} chosen={name === chosen} choose={choose} />
      ))}
    </div>
  );
}
