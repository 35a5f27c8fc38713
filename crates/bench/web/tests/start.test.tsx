import { render } from "preact";
import { afterEach, beforeEach, describe, expect, it, vi } from "vitest";
import { Server } from "../src/server";
import { Start } from "../src/start";
import type { Asking, QuestionAsked, Started } from "../src/start/asking";

let holder: HTMLElement;
const asks: { path: string; body: Record<string, unknown> }[] = [];
const opened = vi.fn();

const title: QuestionAsked = { key: "title", asks: "What do you call the part?", usual: "", choices: [] };
const weight: QuestionAsked = { key: "weight", asks: "Does anyone's weight hang on it?", usual: "", choices: ["yes", "no"] };

/** A server with two questions, of which the second refuses. */
function told(answers: Record<string, string>): Asking {
  const answered = [title, weight]
    .filter((question) => answers[question.key] !== undefined)
    .map((question) => ({ key: question.key, asks: question.asks, answer: answers[question.key] ?? "", understood: null }));
  if (answers.title === undefined) return { answered, next: title };
  if (answers.title === "??") return { answered: [], next: title, not_understood: "A title has letters." };
  if (answers.weight === undefined) return { answered, next: weight };
  if (answers.weight === "yes") return { answered, refused: { why: "someone's weight hangs on it", ask: "a licensed engineer" } };
  return { answered, done: true };
}

function shown(named: boolean) {
  const server = new Server("k", async (input, init) => {
    const path = String(input);
    const body = JSON.parse(String(init?.body ?? "{}")) as Record<string, unknown>;
    asks.push({ path, body });
    const answer = path.endsWith("/questions") ? told(body.answers as Record<string, string>) : {};
    return new Response(JSON.stringify(answer));
  });
  const place: Started = { open: false, named, says: "It is written into /jobs.", demos: [{ name: "one-bend", title: "Angle", about: null }], care: [] };
  render(<Start server={server} place={place} opened={opened} />, holder);
}

const button = (text: string) => {
  const found = [...holder.querySelectorAll("button")].find((button) => button.textContent?.startsWith(text));
  if (!found) throw new Error(`there is no button ${text}: ${holder.textContent}`);
  return found;
};

function type(text: string) {
  const input = holder.querySelector<HTMLInputElement>(".questions input, .field input");
  if (!input) throw new Error("a field");
  input.value = text;
  input.dispatchEvent(new Event("input", { bubbles: true }));
}

/** The time of the presses, however busy the machine is. */
let clock_ms = 1000;
/** A press comes again only after the guard against second presses. */
const later = () => {
  clock_ms += 320;
};

describe("starting a job", () => {
  beforeEach(() => {
    holder = document.createElement("div");
    document.body.append(holder);
    asks.length = 0;
    opened.mockClear();
    later();
    vi.spyOn(performance, "now").mockImplementation(() => clock_ms);
  });
  afterEach(() => {
    vi.restoreAllMocks();
    render(null, holder);
    holder.remove();
  });

  it("asks one question after another, moves the focus to each, and takes no second press for the next answer", async () => {
    shown(false);
    expect(holder.textContent).toContain("It is written into /jobs.");
    button("From nothing").click();
    await vi.waitFor(() => expect(holder.textContent).toContain(title.asks));
    type("Lamp arm");
    await vi.waitFor(() => button("Next"));
    button("Next").click();
    await vi.waitFor(() => expect(document.activeElement?.textContent).toBe(weight.asks));
    // The hand shakes: the second press falls on the next question's answer.
    button("yes").click();
    await new Promise((done) => setTimeout(done, 50));
    expect(holder.textContent).not.toContain("does not help");
    later();
    button("no").click();
    await vi.waitFor(() => expect(document.activeElement?.textContent).toBe("Start the job"));
    later();
    button("Start the job").click();
    await vi.waitFor(() => expect(opened).toHaveBeenCalled());
    expect(asks.at(-1)).toEqual({ path: "/api/start/nothing", body: { answers: { title: "Lamp arm", weight: "no" } } });
  });

  it("says whom to ask when it refuses, and lets the answer be changed", async () => {
    shown(false);
    button("From nothing").click();
    await vi.waitFor(() => expect(holder.textContent).toContain(title.asks));
    type("Swing");
    await vi.waitFor(() => button("Next"));
    button("Next").click();
    await vi.waitFor(() => expect(holder.textContent).toContain(weight.asks));
    later();
    button("yes").click();
    await vi.waitFor(() => expect(holder.textContent).toContain("Ask a licensed engineer."));
    expect(() => button("Start the job")).toThrow();
    holder.querySelector<HTMLButtonElement>(`button[aria-label="Change: ${weight.asks}"]`)?.click();
    await vi.waitFor(() => expect(holder.querySelector("h3")?.textContent).toBe(weight.asks));
  });

  it("wants a name before it writes, where the folder was not given", async () => {
    shown(true);
    button("From a demo job").click();
    await vi.waitFor(() => button("Start from one-bend"));
    button("Start from one-bend").click();
    await vi.waitFor(() => expect(holder.querySelector("[role=alert]")?.textContent).toContain("name"));
    expect(asks).toEqual([]);
    type("angle");
    // It is drawn anew with the name.
    await new Promise((done) => setTimeout(done, 20));
    later();
    button("Start from one-bend").click();
    await vi.waitFor(() => expect(opened).toHaveBeenCalled());
    expect(asks.at(-1)?.body).toEqual({ demo: "one-bend", name: "angle" });
  });

  it("keeps what was answered when the way is left by Esc and come back to", async () => {
    shown(false);
    button("From nothing").click();
    await vi.waitFor(() => expect(holder.textContent).toContain(title.asks));
    type("Lamp arm");
    const input = holder.querySelector<HTMLInputElement>(".questions input");
    const escape = () => document.activeElement?.dispatchEvent(new KeyboardEvent("keydown", { key: "Escape", bubbles: true }));
    await vi.waitFor(() => button("Next"));
    input?.focus();
    escape();
    await vi.waitFor(() => expect(input?.value).toBe(""));
    type("Lamp arm");
    await vi.waitFor(() => button("Next"));
    button("Next").click();
    await vi.waitFor(() => expect(document.activeElement?.textContent).toBe(weight.asks));
    escape();
    await vi.waitFor(() => expect(holder.textContent).toContain("How do you start?"));
    button("From nothing").click();
    await vi.waitFor(() => expect(holder.querySelector(".answered")?.textContent).toContain("Lamp arm"));
    holder.querySelector<HTMLButtonElement>(`button[aria-label="Change: ${title.asks}"]`)?.click();
    await vi.waitFor(() => expect(holder.querySelector<HTMLInputElement>(".questions input")?.value).toBe("Lamp arm"));
  });

  it("has an answer that was not understood in its field, to be put right", async () => {
    shown(false);
    button("From nothing").click();
    await vi.waitFor(() => expect(holder.textContent).toContain(title.asks));
    type("??");
    await vi.waitFor(() => button("Next"));
    button("Next").click();
    await vi.waitFor(() => expect(holder.textContent).toContain("A title has letters."));
    expect(holder.querySelector<HTMLInputElement>(".questions input")?.value).toBe("??");
  });
});
