import { render } from "preact";
import { afterEach, beforeEach, describe, expect, it, vi } from "vitest";
import type { Desk } from "../src/desk";
import { SinceKept } from "../src/since";
import type { Job } from "../src/types";

let holder: HTMLElement;
const post = vi.fn();
const send = vi.fn();

function shown(kept: Job["kept"], busy = false) {
  const desk = { server: { post }, send, busy } as unknown as Desk;
  const verdict = { answer: "yes", says: "so" } as const;
  const answers = { job: { title: "Hoe", hand: "right" }, verdicts: { fit: verdict, cut: verdict, bend: verdict, hold: verdict }, findings: [] };
  render(<SinceKept desk={desk} job={{ kept, answers } as unknown as Job} />, holder);
}

describe("a revision", () => {
  beforeEach(() => {
    holder = document.createElement("div");
    document.body.append(holder);
    post.mockClear();
    send.mockReset();
    send.mockImplementation(async (ask: (base: string) => Promise<Job>) => {
      await ask("stamp");
      return true;
    });
  });
  afterEach(() => {
    vi.restoreAllMocks();
    render(null, holder);
    holder.remove();
  });

  it("is kept by the name that comes next, or another that is typed", () => {
    // Both presses at one time, however busy the machine is.
    vi.spyOn(performance, "now").mockReturnValue(1000);
    shown({ next: "B", revision: "A", since: null });
    const button = holder.querySelector("button");
    expect(button?.textContent).toBe("Keep this as revision B");
    button?.click();
    expect(post).toHaveBeenCalledWith("/api/revision", { name: "B", base: "stamp" });
    // A second press right after it keeps nothing again.
    button?.click();
    expect(send).toHaveBeenCalledTimes(1);
  });

  it("has what the changes since did in the server's words", async () => {
    const rows = [{ what: "mass", called: "Mass", was: "1 kg", is: "2 kg", says: "It is heavier by 1 kg.", same: false }];
    shown({ next: "C", revision: "B", since: { revision: "B", says: "Since revision B: It is heavier by 1 kg.", rows } });
    expect(holder.querySelector("h2")?.textContent).toBe("Since revision B");
    holder.querySelector("details")?.setAttribute("open", "");
    holder.querySelector("details")?.dispatchEvent(new Event("toggle"));
    await vi.waitFor(() => expect(holder.textContent).toContain("Was: 1 kg Is: 2 kg"));
  });

  it("keeps a name that is typed when another comes next, and puts back on Esc the one that comes next", async () => {
    shown({ next: "B", revision: "A", since: null });
    const input = holder.querySelector("input");
    if (!input) throw new Error("a field");
    input.value = "as drilled";
    input.dispatchEvent(new Event("input", { bubbles: true }));
    shown({ next: "C", revision: "B", since: null });
    await vi.waitFor(() => expect(holder.querySelector("button")?.textContent).toBe("Keep this as revision as drilled"));
    input.dispatchEvent(new KeyboardEvent("keydown", { key: "Escape", bubbles: true }));
    await vi.waitFor(() => expect(holder.querySelector("button")?.textContent).toBe("Keep this as revision C"));
  });

  it("is not kept while something else is under way", () => {
    shown({ next: "B", revision: null, since: null }, true);
    holder.querySelector("button")?.click();
    expect(send).not.toHaveBeenCalled();
  });
});
