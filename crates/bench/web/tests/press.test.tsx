import { render } from "preact";
import { expect, it } from "vitest";
import { Press } from "../src/press";

function tap(button: Element | undefined, clientX: number, detail = 1) {
  button?.dispatchEvent(new MouseEvent("click", { bubbles: true, clientX, clientY: 20, detail }));
}

it("a second press at the same place does nothing, also where another button has come there; the keyboard is not held back", () => {
  const holder = document.createElement("div");
  document.body.append(holder);
  const done: string[] = [];
  render(
    <>
      <Press onPress={() => done.push("leave")}>Leave it</Press>
      <Press onPress={() => done.push("out")}>Take out</Press>
      <Press onPress={() => done.push("more")}>More</Press>
    </>,
    holder,
  );
  const [leave, out, more] = holder.querySelectorAll("button");
  tap(leave, 100);
  tap(out, 110);
  expect(done).toEqual(["leave"]);
  tap(more, 300);
  tap(out, 0, 0);
  expect(done).toEqual(["leave", "more", "out"]);
  render(null, holder);
});
