import { render } from "preact";
import { afterEach, beforeEach, describe, expect, it, vi } from "vitest";
import { type Desk, useDesk } from "../src/desk";
import { Server } from "../src/server";
import type { Act } from "../src/types";

const ANSWERS = { wrong: [] };
let holder: HTMLElement;
let desk: Desk;

function Holding({ server }: { server: Server }) {
  desk = useDesk(server);
  return null;
}

describe("the job on the page", () => {
  let asked: { path: string; base?: string }[] = [];
  let answers: ((response: Response) => void)[] = [];
  const job = (stamp: string) => new Response(JSON.stringify({ stamp, answers: ANSWERS, files: {}, kept: {} }));
  const answer = (stamp: string) => answers.shift()?.(job(stamp));

  beforeEach(async () => {
    asked = [];
    answers = [];
    holder = document.createElement("div");
    const server = new Server("k", (input, init) => {
      const path = String(input);
      if (path.startsWith("/api/changed")) return new Promise<Response>(() => undefined);
      if (path === "/api/job") return Promise.resolve(job("s1"));
      asked.push({ path, base: (JSON.parse(String(init?.body)) as { base: string }).base });
      return new Promise<Response>((done) => answers.push(done));
    });
    render(<Holding server={server} />, holder);
    await vi.waitFor(() => expect(desk.job?.stamp).toBe("s1"));
  });
  afterEach(() => render(null, holder));

  it("does one act after another, each for what the one before left", async () => {
    const first = desk.act("design", [{ act: "remove", at: ["card"] }], "one");
    const second = desk.act("fit", [{ act: "remove", at: ["card"] }], "two");
    await vi.waitFor(() => expect(asked).toHaveLength(1));
    answer("s2");
    expect(await first).toBe(true);
    await vi.waitFor(() => expect(asked).toHaveLength(2));
    answer("s3");
    expect(await second).toBe(true);
    expect(asked.map(({ base }) => base)).toEqual(["s1", "s2"]);
    await vi.waitFor(() => expect(desk.job?.stamp).toBe("s3"));
  });

  it("does an act once that is asked for twice before it is done", async () => {
    const acts = (): Act[] => [{ act: "remove", at: ["card"] }];
    const both = [desk.act("design", acts(), "out"), desk.act("design", acts(), "out")];
    await vi.waitFor(() => expect(asked).toHaveLength(1));
    answer("s2");
    expect(await Promise.all(both)).toEqual([true, true]);
    expect(asked).toHaveLength(1);
    const again = desk.act("design", acts(), "out");
    await vi.waitFor(() => expect(asked).toHaveLength(2));
    answer("s3");
    expect(await again).toBe(true);
  });

  it("shows that an act is under way only when it takes longer than a blink", async () => {
    const quick = desk.act("design", [], "one");
    await vi.waitFor(() => expect(asked).toHaveLength(1));
    expect(desk.busy).toBe(false);
    answer("s2");
    await quick;
    const slow = desk.act("design", [], "two");
    await vi.waitFor(() => expect(desk.busy).toBe(true));
    answer("s3");
    await slow;
    await vi.waitFor(() => expect(desk.busy).toBe(false));
  });

  it("has nothing worked out ahead while an act is under way", async () => {
    const act = desk.act("design", [], "one");
    desk.ahead("design", []);
    await vi.waitFor(() => expect(asked).toHaveLength(1));
    expect(asked[0]?.path).toBe("/api/act");
    answer("s2");
    await act;
    desk.ahead("design", []);
    await vi.waitFor(() => expect(asked).toHaveLength(2));
    expect(asked[1]).toEqual({ path: "/api/ahead", base: "s2" });
  });
});
