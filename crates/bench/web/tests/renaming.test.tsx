import { render } from "preact";
import { afterEach, beforeEach, describe, expect, it, vi } from "vitest";
import type { Desk, Trouble } from "../src/desk";
import { keptEditor } from "../src/forms/editor";
import type { Takes } from "../src/forms/keys";
import { NamedEntry } from "../src/forms/named_entry";
import { Server } from "../src/server";
import { at } from "../src/typed";
import type { Act, Job, Typed } from "../src/types";

const TAKES = { is: "named", of: { is: "table", keys: [{ name: "dia", must: true, says: "the diameter", example: "", takes: { is: "sum", of: "length" } }] }, key: "thing" } satisfies Takes;

function jobWith(names: string[]): Job {
  const holes: Typed = { table: names.map((name): [string, Typed] => [name, { table: [["dia", "8"]] }]) };
  return { files: { design: { path: "", text: "", values: { table: [["holes", holes]] } }, fit: null, shop: null } } as unknown as Job;
}

let holder: HTMLElement;
let job: Job;
let trouble: Trouble | null;
/** What the server answers to the next act: names as they are then, or what stands against it. */
let answer: string[] | string;
/** The time of the presses, however busy the machine is. */
let clock_ms = 1000;
const ahead = vi.fn();
const act = vi.fn(async (_file: string, _acts: Act[], _says: string) => {
  trouble = typeof answer === "string" ? { kind: "refused", says: answer } : null;
  if (typeof answer !== "string") job = jobWith(answer);
  show();
  return typeof answer !== "string";
});

function show() {
  const desk = { server: new Server("k", async () => new Response("{}")), busy: false, act, ahead, trouble } as unknown as Desk;
  const editor = keptEditor(desk, job, "design");
  render(<NamedEntry editor={editor} way={["holes"]} takes={TAKES} value={at(job.files.design?.values, ["holes"])} label="Holes" must />, holder);
}

function button(words: string): HTMLButtonElement {
  const found = [...holder.querySelectorAll("button")].find((button) => button.textContent === words);
  if (!found) throw new Error(`no button ${words}`);
  return found;
}

async function opened(name: string): Promise<HTMLInputElement> {
  button(`Rename hole ${name}`).click();
  await vi.waitFor(() => expect(document.activeElement?.closest(".add-form")).not.toBeNull());
  return document.activeElement as HTMLInputElement;
}

async function type(input: HTMLInputElement, text: string) {
  input.value = text;
  input.dispatchEvent(new Event("input", { bubbles: true }));
  // Drawn before the next key comes.
  await new Promise((done) => setTimeout(done, 20));
}

function key(input: HTMLElement, key: string) {
  clock_ms += 400;
  input.dispatchEvent(new KeyboardEvent("keydown", { key, bubbles: true, cancelable: true }));
}

describe("a row that is called otherwise", () => {
  beforeEach(() => {
    holder = document.createElement("div");
    document.body.append(holder);
    act.mockClear();
    clock_ms += 1000;
    vi.spyOn(performance, "now").mockImplementation(() => clock_ms);
    job = jobWith(["h1", "h2"]);
    trouble = null;
    show();
  });
  afterEach(() => {
    vi.restoreAllMocks();
    render(null, holder);
    holder.remove();
  });

  it("is one act, stays the row that it was, and has the focus again", async () => {
    const row = holder.querySelector(".row");
    const input = await opened("h1");
    expect(input.value).toBe("h1");
    await type(input, " mast ");
    answer = ["mast", "h2"];
    key(input, "Enter");
    await vi.waitFor(() => expect(document.activeElement?.textContent).toBe("Rename hole mast"));
    expect(act).toHaveBeenCalledExactlyOnceWith("design", [{ act: "rename", what: "hole", from: "h1", to: "mast" }], "hole h1 renamed mast");
    expect(holder.querySelector(".row")).toBe(row);
    expect(holder.querySelector(".add-form")).toBeNull();
    // Nothing is left over in the field: it begins with the name of now.
    expect((await opened("mast")).value).toBe("mast");
  });

  it("keeps what is typed and says at the field what stands against it", async () => {
    const input = await opened("h1");
    await type(input, "h2");
    answer = "something is called h2 already; take another name";
    key(input, "Enter");
    await vi.waitFor(() => expect(holder.querySelector(".add-form .echo")?.textContent).toBe("Not renamed: something is called h2 already; take another name"));
    expect(input.getAttribute("aria-describedby")).toContain(holder.querySelector(".add-form .echo")?.id);
    expect(input.value).toBe("h2");
    await type(input, "h3");
    await vi.waitFor(() => expect(holder.querySelector(".add-form .echo")?.textContent).toBe(""));
  });

  it("asks for a name where none, or its own, is typed", async () => {
    const input = await opened("h1");
    key(input, "Enter");
    await vi.waitFor(() => expect(holder.textContent).toContain("It is called h1 already."));
    await type(input, "  ");
    key(input, "Enter");
    await vi.waitFor(() => expect(holder.textContent).toContain("Type its new name."));
    expect(act).not.toHaveBeenCalled();
  });

  it("is left by Esc: first what is typed goes, then the form, back to where it was opened", async () => {
    const input = await opened("h2");
    await type(input, "mast");
    await vi.waitFor(() => expect(input.value).toBe("mast"));
    key(input, "Escape");
    await vi.waitFor(() => expect(input.value).toBe("h2"));
    key(input, "Escape");
    await vi.waitFor(() => expect(holder.querySelector(".add-form")).toBeNull());
    expect(document.activeElement).toBe(button("Rename hole h2"));
    expect(act).not.toHaveBeenCalled();
  });
});
