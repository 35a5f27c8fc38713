import { render } from "preact";
import { afterEach, beforeEach, describe, expect, it, vi } from "vitest";
import type { Desk } from "../src/desk";
import { useOnce } from "../src/desk";
import { Field } from "../src/field";
import { Server } from "../src/server";

let holder: HTMLElement;
const act = vi.fn(async () => true);
const ahead = vi.fn();

function shown(value: string) {
  const server = new Server("k", async () => new Response('{"understood":"28.6 mm (1-1/8 in)"}'));
  const desk = { server, busy: false, act, ahead } as unknown as Desk;
  render(<Field desk={desk} file="design" way={["measures", "rise"]} label="rise" value={value} />, holder);
  const input = holder.querySelector("input");
  if (!input) throw new Error("a field has an input");
  return input;
}

function type(input: HTMLInputElement, text: string) {
  input.value = text;
  input.dispatchEvent(new Event("input", { bubbles: true }));
}

function press(input: HTMLElement, key: string) {
  input.dispatchEvent(new KeyboardEvent("keydown", { key, bubbles: true, cancelable: true }));
}

describe("a field", () => {
  beforeEach(() => {
    holder = document.createElement("div");
    document.body.append(holder);
    act.mockClear();
    ahead.mockClear();
  });
  afterEach(() => {
    render(null, holder);
    holder.remove();
  });

  it("has a label, echoes what it understood, and keeps it on Enter", async () => {
    const input = shown("60");
    expect(holder.querySelector("label")?.getAttribute("for")).toBe(input.id);
    type(input, "1-1/8 in");
    await vi.waitFor(() => expect(holder.textContent).toContain("Understood: 28.6 mm (1-1/8 in)"));
    press(input, "Enter");
    expect(act).toHaveBeenCalledWith("design", [{ act: "set", at: ["measures", "rise"], to: "1-1/8 in" }], "measures rise 1-1/8 in");
  });

  it("has what is typed worked out once it is understood, before it is kept", async () => {
    const input = shown("60");
    type(input, "1-1/8 in");
    await vi.waitFor(() => expect(ahead).toHaveBeenCalledWith("design", [{ act: "set", at: ["measures", "rise"], to: "1-1/8 in" }], "measures rise 1-1/8 in"));
    expect(act).not.toHaveBeenCalled();
    press(input, "Escape");
    await vi.waitFor(() => expect(holder.textContent).not.toContain("Not kept yet"));
    expect(ahead).toHaveBeenCalledOnce();
  });

  it("has what was typed still, where it was shown as written and then was not", async () => {
    let done: (good: boolean) => void = () => undefined;
    act.mockImplementationOnce(() => new Promise<boolean>((end) => (done = end)));
    const input = shown("60");
    type(input, "1-1/8 in");
    await vi.waitFor(() => expect(ahead).toHaveBeenCalled());
    press(input, "Enter");
    shown("1-1/8 in");
    await vi.waitFor(() => expect(holder.textContent).not.toContain("Not kept yet"));
    shown("60");
    done(false);
    await vi.waitFor(() => expect(holder.textContent).toContain("Not kept yet"));
    expect(input.value).toBe("1-1/8 in");
  });

  it("has nothing worked out that is not understood", async () => {
    const server = new Server("k", async () => new Response('{"not_understood":"that is no length"}'));
    const desk = { server, busy: false, act, ahead } as unknown as Desk;
    render(<Field desk={desk} file="design" way={["measures", "rise"]} label="rise" value="60" />, holder);
    const input = holder.querySelector("input");
    if (!input) throw new Error("a field has an input");
    type(input, "six");
    await vi.waitFor(() => expect(holder.textContent).toContain("that is no length"));
    expect(ahead).not.toHaveBeenCalled();
  });

  it("puts back what stands in the file on Esc, and keeps nothing that is not changed", async () => {
    const input = shown("60");
    type(input, "61");
    await vi.waitFor(() => expect(holder.textContent).toContain("Not kept yet"));
    press(input, "Escape");
    await vi.waitFor(() => expect(holder.textContent).not.toContain("Not kept yet"));
    expect(input.value).toBe("60");
    press(input, "Enter");
    expect(act).not.toHaveBeenCalled();
  });

  it("keeps what is typed while an act is under way, and takes what is written where nothing was", async () => {
    let written: (good: boolean) => void = () => undefined;
    act.mockImplementationOnce(() => new Promise<boolean>((done) => (written = done)));
    const input = shown("60");
    type(input, "61");
    await vi.waitFor(() => expect(holder.textContent).toContain("Not kept yet"));
    press(input, "Enter");
    type(input, "612");
    shown("61");
    written(true);
    await new Promise((done) => setTimeout(done, 20));
    expect(input.value).toBe("612");
    press(input, "Escape");
    await vi.waitFor(() => expect(input.value).toBe("61"));
    shown("62");
    await vi.waitFor(() => expect(input.value).toBe("62"));
  });

  it("says what the file says now, where that is another than was typed over", async () => {
    const input = shown("60");
    type(input, "61");
    await vi.waitFor(() => expect(holder.textContent).toContain("Not kept yet"));
    shown("70");
    await vi.waitFor(() => expect(holder.textContent).toContain("The file says 70 now."));
    expect(input.value).toBe("61");
    press(input, "Escape");
    await vi.waitFor(() => expect(input.value).toBe("70"));
    type(input, "71");
    await vi.waitFor(() => expect(holder.textContent).toContain("Not kept yet"));
    expect(holder.textContent).not.toContain("The file says");
  });

  it("takes a second press right after the first for a shake of the hand, also when it was drawn anew between them", () => {
    let done = 0;
    function Twice() {
      return <button onClick={useOnce(() => void done++)}>Do</button>;
    }
    render(<Twice />, holder);
    holder.querySelector("button")?.click();
    render(<Twice />, holder);
    holder.querySelector("button")?.click();
    expect(done).toBe(1);
  });
});
