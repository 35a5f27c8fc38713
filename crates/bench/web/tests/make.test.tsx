import { render } from "preact";
import { afterEach, beforeEach, describe, expect, it, vi } from "vitest";
import { Files, handOver, type Made } from "../src/sections/make";
import { Server } from "../src/server";

let holder: HTMLElement;

const made: Made = {
  folder: "/jobs/hoe/out",
  files: [{ name: "template.pdf", is_for: "the blank at true size", size: "12 kB" }],
  of_this_state: false,
  not: [{ name: "cut.nc", is_for: "the program", why: "shop.toml has no sheet of this plate", taken_away: true }],
};

describe("the files for the shop", () => {
  beforeEach(() => {
    holder = document.createElement("div");
    document.body.append(holder);
  });
  afterEach(() => {
    render(null, holder);
    holder.remove();
    vi.restoreAllMocks();
  });

  it("are told with what each is for, and what is missing with its reason", () => {
    render(<Files made={made} server={new Server("k")} tell={() => undefined} />, holder);
    for (const words of ["/jobs/hoe/out", "template.pdf", "12 kB", "true size", "earlier state", "no sheet of this plate", "taken away"]) {
      expect(holder.textContent).toContain(words);
    }
    expect([...holder.querySelectorAll("button")].map((button) => button.textContent)).toEqual(["Download template.pdf"]);
  });

  it("are asked for with the key, and handed over by their own name", async () => {
    const heads: unknown[] = [];
    const server = new Server("secret", async (input, init) => {
      heads.push([input, init?.headers]);
      return new Response("%PDF");
    });
    vi.spyOn(URL, "createObjectURL").mockReturnValue("blob:1");
    const clicked: string[] = [];
    vi.spyOn(HTMLAnchorElement.prototype, "click").mockImplementation(function (this: HTMLAnchorElement) {
      clicked.push(`${this.download} ${this.href}`);
    });
    await handOver(server, "template.pdf");
    expect(heads).toEqual([["/api/made/template.pdf", { "x-gusset-key": "secret" }]]);
    expect(clicked).toEqual(["template.pdf blob:1"]);
  });

  it("tells why one is not given", async () => {
    const server = new Server("k", async () => new Response('{"error":"there is no such file"}', { status: 404 }));
    await expect(handOver(server, "x")).rejects.toThrow("there is no such file");
  });
});
