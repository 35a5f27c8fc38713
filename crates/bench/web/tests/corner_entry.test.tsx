import { render } from "preact";
import { afterEach, beforeEach, expect, it, vi } from "vitest";
import type { Desk } from "../src/desk";
import { CornerEntry } from "../src/forms/corner_entry";
import { keptEditor } from "../src/forms/editor";
import { Server } from "../src/server";
import type { Job } from "../src/types";

let holder: HTMLElement;
beforeEach(() => {
  holder = document.createElement("div");
  document.body.append(holder);
});
afterEach(() => {
  render(null, holder);
  holder.remove();
});

it.each([true, false])("a corner's length is echoed as it would stand in the file, kept: %s", async (kept) => {
  const asked: unknown[] = [];
  const server = new Server("k", async (_, init) => {
    asked.push(JSON.parse(String(init?.body)));
    return new Response('{"understood":"12.7 mm (1/2 in)"}');
  });
  const desk = { server, busy: false, ahead: () => undefined } as unknown as Desk;
  const editor = { ...keptEditor(desk, {} as Job, "design"), kept };
  render(<CornerEntry editor={editor} way={["outline", "corners", "A"]} takes={{ is: "corner" }} value="notch 3 mm" label="A" must />, holder);
  const input = holder.querySelector<HTMLInputElement>('input[type="text"]');
  if (!input) throw new Error("a field for how much");
  expect(input.value).toBe("3 mm");
  if (kept) {
    input.value = "1/2 in";
    input.dispatchEvent(new Event("input", { bubbles: true }));
  }
  await vi.waitFor(() => expect(holder.textContent).toContain("Understood: 12.7 mm (1/2 in)."));
  expect(asked).toContainEqual({ file: "design", way: ["outline", "corners", "A"], text: kept ? "notch 1/2 in" : "notch 3 mm" });
});
