import { render } from "preact";
import { afterEach, beforeEach, describe, expect, it, vi } from "vitest";
import type { Desk } from "../src/desk";
import { AddForm } from "../src/forms/add_form";
import { keptEditor, type Tapping } from "../src/forms/editor";
import type { Guard } from "../src/forms/form_box";
import { POINT, type Takes } from "../src/forms/keys";
import { Server } from "../src/server";
import type { Job, Typed } from "../src/types";

const TAKES: Takes = {
  is: "shapes",
  shapes: [
    { lead: "middle", keys: [{ name: "middle", must: true, says: "half way", example: "", takes: { is: "list", of: POINT, least: 2, most: 2 } }] },
    { lead: "foot", keys: [{ name: "foot", must: true, says: "square", example: "", takes: POINT }, { name: "on", must: true, says: "the line", example: "", takes: { is: "line" } }] },
  ],
};
const DESIGN: Typed = { table: [["points", { table: [["A", ["0", "0"]], ["B", ["9", "0"]]] }]] };
const JOB = { files: { design: { path: "", text: "", values: DESIGN }, fit: null, shop: null } } as unknown as Job;

let holder: HTMLElement;
let tap: (name: string) => void = () => undefined;
let fills: string | null = null;
const tapping: Tapping = {
  take: (_, next, says) => {
    tap = next;
    fills = says;
  },
  leave: () => undefined,
};
const act = vi.fn(async () => true);
const ahead = vi.fn();
const close = vi.fn();
const guard: Guard = { current: null };
/** The time of the presses, however busy the machine is. */
let clock_ms = 1000;

function press(words: string) {
  const found = [...holder.querySelectorAll("button")].find((button) => button.textContent?.startsWith(words));
  if (!found) throw new Error(`no button ${words}`);
  found.click();
}

describe("a form for something new", () => {
  beforeEach(() => {
    holder = document.createElement("div");
    document.body.append(holder);
    act.mockClear();
    close.mockClear();
    clock_ms += 1000;
    vi.spyOn(performance, "now").mockImplementation(() => clock_ms);
    const desk = { server: new Server("k", async () => new Response("{}")), busy: false, act, ahead, trouble: null } as unknown as Desk;
    const editor = { ...keptEditor(desk, JOB, "design"), tapping };
    render(<AddForm editor={editor} way={["points"]} takes={TAKES} how="name" title="Add a point" close={close} guard={guard} />, holder);
  });
  afterEach(() => {
    vi.restoreAllMocks();
    render(null, holder);
    holder.remove();
  });

  it("asks how, is filled by taps one place after the other, and is one act", async () => {
    press("Half way");
    await vi.waitFor(() => expect(fills).toBe("middle, first point"));
    tap("A");
    await vi.waitFor(() => expect(fills).toBe("middle, second point"));
    tap("B");
    await vi.waitFor(() => expect(fills).toBeNull());
    press("Add");
    await vi.waitFor(() => expect(act).toHaveBeenCalledOnce());
    expect(act).toHaveBeenCalledWith(
      "design",
      [{ act: "set", at: ["points", "C"], to: { middle: ["A", "B"] } }],
      "point C added",
    );
    await vi.waitFor(() => expect(holder.textContent).toContain("Added: point C"));
  });

  it("says what is still to be said, and writes nothing till then", async () => {
    press("Square onto a line");
    await vi.waitFor(() => expect(fills).toBe("foot"));
    press("Add");
    await vi.waitFor(() => expect(holder.textContent).toContain("Still to say: square (foot); the line (on)."));
    expect(act).not.toHaveBeenCalled();
  });

  const escape = (from: Element) => from.dispatchEvent(new KeyboardEvent("keydown", { key: "Escape", bubbles: true }));
  const input = () => {
    const found = holder.querySelector("input");
    if (!found) throw new Error("a field for the name");
    return found;
  };

  it("is left at once while nothing is said in it", () => {
    escape(holder.querySelector("h3") ?? holder);
    expect(close).toHaveBeenCalledOnce();
  });

  it("puts back a field on Esc, warns of what would go, and is left by a second word", async () => {
    input().focus();
    input().value = "Nose";
    input().dispatchEvent(new Event("input", { bubbles: true }));
    await vi.waitFor(() => expect(guard.current?.()).toContain("goes when you leave it"));
    escape(input());
    await vi.waitFor(() => expect(input().value).toBe("C"));
    expect(close).not.toHaveBeenCalled();
    press("Half way");
    await vi.waitFor(() => expect(fills).toBe("middle, first point"));
    tap("A");
    await vi.waitFor(() => expect(fills).toBe("middle, second point"));
    escape(input());
    await vi.waitFor(() => expect(holder.textContent).toContain("Leave it once more"));
    expect(close).not.toHaveBeenCalled();
    // A shake of the key is not the second word.
    escape(input());
    expect(close).not.toHaveBeenCalled();
    clock_ms += 320;
    escape(input());
    expect(close).toHaveBeenCalledOnce();
  });

  it("warns anew once more is said", async () => {
    press("Half way");
    await vi.waitFor(() => expect(fills).toBe("middle, first point"));
    tap("A");
    await vi.waitFor(() => expect(fills).toBe("middle, second point"));
    expect(guard.current?.()).toContain("goes when you leave it");
    await vi.waitFor(() => expect(holder.textContent).toContain("Leave it once more"));
    tap("B");
    await vi.waitFor(() => expect(holder.textContent).not.toContain("Leave it once more"));
    press("Leave it");
    expect(close).not.toHaveBeenCalled();
  });
});
