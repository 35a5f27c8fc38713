import { render } from "preact";
import { afterEach, beforeEach, describe, expect, it, vi } from "vitest";
import type { Desk } from "../src/desk";
import { ask } from "../src/sections/ask";
import { Server } from "../src/server";
import type { Job } from "../src/types";

let holder: HTMLElement;
const act = vi.fn(async () => true);
const ahead = vi.fn();
const CARE = [
  { key: "purpose", asks: "What is it for?", usual: "", choices: [] },
  { key: "weight", asks: "Does anyone's weight hang on it?", usual: "", choices: ["yes", "no"] },
];
const JOB = {
  files: { design: null, shop: null, fit: { path: "", text: "", values: { table: [["care", { table: [["purpose", "a mallet"], ["weight", false]] }]] } } },
} as unknown as Job;

describe("the five questions", () => {
  beforeEach(async () => {
    holder = document.createElement("div");
    document.body.append(holder);
    act.mockClear();
    const server = new Server("k", async () => new Response(JSON.stringify({ care: CARE })));
    const Body = ask.body ?? (() => null);
    render(<Body desk={{ server, busy: false, act, ahead } as unknown as Desk} job={JOB} />, holder);
    await vi.waitFor(() => expect(holder.querySelector("legend")?.textContent).toContain("weight"));
  });
  afterEach(() => {
    render(null, holder);
    holder.remove();
  });

  const radio = (word: string) => {
    const found = [...holder.querySelectorAll("label")].find((label) => label.textContent === word)?.querySelector("input");
    if (!found) throw new Error(`no answer ${word}`);
    return found;
  };
  const choose = async (word: string) => {
    radio(word).checked = true;
    radio(word).dispatchEvent(new Event("change", { bubbles: true }));
    await vi.waitFor(() => expect(holder.textContent).toContain("Not kept yet."));
  };

  it("write nothing while the answers are gone through, and are kept by a press", async () => {
    expect(radio("no").checked).toBe(true);
    await choose("yes");
    expect(act).not.toHaveBeenCalled();
    [...holder.querySelectorAll("button")].find((button) => button.textContent === "Keep")?.click();
    expect(act).toHaveBeenCalledWith("fit", [{ act: "set", at: ["care", "weight"], to: true }], "Does anyone's weight hang on it? yes");
  });

  it("are kept by Enter, and put back by Esc", async () => {
    await choose("yes");
    radio("yes").dispatchEvent(new KeyboardEvent("keydown", { key: "Escape", bubbles: true }));
    await vi.waitFor(() => expect(radio("no").checked).toBe(true));
    await choose("yes");
    radio("yes").dispatchEvent(new KeyboardEvent("keydown", { key: "Enter", bubbles: true, cancelable: true }));
    expect(act).toHaveBeenCalledOnce();
  });
});
