import { render } from "preact";
import { afterEach, beforeEach, describe, expect, it, vi } from "vitest";
import type { Desk } from "../src/desk";
import { Fits } from "../src/sections/fits";
import { Server } from "../src/server";
import type { Job } from "../src/types";

let holder: HTMLElement;
let asked: { path: string; body: Record<string, unknown> }[];
const job = (fit: string | null, fits: string[]): Job =>
  ({
    fit,
    fits,
    files: { design: null, shop: null, fit: fit && { values: { table: [["title", "Right arm"], ["care", { table: [["purpose", "a mallet"]] }]] } } },
  }) as unknown as Job;

const fetched = async (path: RequestInfo | URL, init?: RequestInit): Promise<Response> => {
  asked.push({ path: String(path), body: JSON.parse(String(init?.body)) });
  const { answers } = asked.at(-1)?.body as { answers: Record<string, string> };
  const told = answers?.fit_title
    ? { answered: [{ key: "fit_title", asks: "For whom?", answer: answers.fit_title, understood: null }], done: true }
    : { answered: [], next: { key: "fit_title", asks: "For whom?", usual: "", choices: [] } };
  return new Response(JSON.stringify(told));
};

function show(of: Job): Desk {
  const server = new Server("k", fetched);
  const desk = { server, busy: false, send: vi.fn(async (ask: (base: string) => Promise<Job>) => Boolean(await ask("s1"))) } as unknown as Desk;
  render(<Fits desk={desk} job={of} />, holder);
  return desk;
}

const press = (says: string) => {
  const found = [...holder.querySelectorAll("button")].find((button) => button.textContent === says);
  if (!found) throw new Error(`no button ${says} in ${holder.textContent}`);
  found.click();
};

describe("the fits of a job", () => {
  beforeEach(() => {
    holder = document.createElement("div");
    document.body.append(holder);
    asked = [];
  });
  afterEach(() => {
    render(null, holder);
    holder.remove();
  });

  it("are opened by a press, all but the one that is open", async () => {
    show(job("own", ["left-arm", "own"]));
    expect(holder.textContent).toContain("The fit that is open: own");
    expect(holder.textContent).not.toContain("Open the fit own");
    press("Open the fit left-arm");
    await vi.waitFor(() => expect(asked).toEqual([{ path: "/api/fit/open", body: { name: "left-arm", base: "s1" } }]));
  });

  it("are begun like the one that is open, with its use for an answer, and left by Esc", async () => {
    show(job("own", ["own"]));
    const fold = holder.querySelector("details");
    if (!fold) throw new Error("nothing to unfold");
    fold.open = true;
    await vi.waitFor(() => expect(holder.textContent).toContain("Like own"));
    press("Like own");
    await vi.waitFor(() => expect(holder.querySelector("input")).not.toBeNull());
    expect(asked.at(-1)?.body).toEqual({ answers: { purpose: "a mallet" }, like: true });
    holder.querySelector("input")?.dispatchEvent(new KeyboardEvent("keydown", { key: "Escape", bubbles: true }));
    await vi.waitFor(() => expect(holder.querySelector("input")).toBeNull());
    expect(holder.textContent).toContain("Like own");
  });

  it("begin at once where a job has none, and are asked for whom", async () => {
    show(job(null, []));
    expect(holder.textContent).not.toContain("Like");
    press("Empty");
    await vi.waitFor(() => expect(holder.querySelector("input")).not.toBeNull());
    const input = holder.querySelector("input");
    if (!input) throw new Error("no field");
    input.value = "Left arm";
    input.dispatchEvent(new Event("input", { bubbles: true }));
    await vi.waitFor(() => expect([...holder.querySelectorAll("button")].some((button) => button.textContent === "Next")).toBe(true));
    press("Next");
    await vi.waitFor(() => expect(holder.textContent).toContain("Begin this fit"));
    press("Begin this fit");
    await vi.waitFor(() => expect(asked.at(-1)).toEqual({ path: "/api/fit/begin", body: { answers: { fit_title: "Left arm" }, like: false, base: "s1" } }));
  });
});
