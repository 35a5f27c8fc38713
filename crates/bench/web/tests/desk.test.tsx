import { render } from "preact";
import { afterEach, beforeEach, describe, expect, it, vi } from "vitest";
import { type Desk, useDesk } from "../src/desk";
import { type JobAsGiven, Server } from "../src/server";
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
  const told = (stamp: string, working: string[] = []) => ({
    stamp,
    working,
    answers: ANSWERS,
    files: {},
    kept: {},
    pictures: { "mark-out": [`<svg>of ${stamp}</svg>`] },
  });
  const job = (stamp: string) => new Response(JSON.stringify(told(stamp)));
  const answer = (stamp: string) => answers.shift()?.(job(stamp));
  const foresee = (job: object | null) => answers.shift()?.(new Response(JSON.stringify({ job })));
  const OUT: Act[] = [{ act: "remove", at: ["card"] }];

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

  it("has what is typed while an act is under way worked out ahead after it, the last alone", async () => {
    const ahead = vi.spyOn(Server.prototype, "ahead");
    const act = desk.act("design", [], "one");
    desk.ahead("design", OUT, "tw");
    desk.ahead("design", OUT, "two");
    await vi.waitFor(() => expect(asked).toHaveLength(1));
    expect(asked[0]?.path).toBe("/api/act");
    answer("s2");
    await act;
    await vi.waitFor(() => expect(asked).toHaveLength(2));
    expect(asked[1]).toEqual({ path: "/api/ahead", base: "s2" });
    expect(ahead.mock.calls.map((of) => of[2])).toEqual(["two"]);
    ahead.mockRestore();
  });

  /** Has it worked out, as far as all but the proof. */
  const foreseen = async () => {
    desk.ahead("design", OUT, "out");
    await vi.waitFor(() => expect(asked).toHaveLength(1));
    foresee(told("s2", ["hold"]));
    await vi.waitFor(() => expect(asked).toHaveLength(2));
  };

  it("shows at once what was worked out ahead, and says that it is being written until it is", async () => {
    await foreseen();
    const act = desk.act("design", OUT, "out");
    await vi.waitFor(() => expect(desk.job?.stamp).toBe("s2"));
    expect([desk.writing, desk.told.startsWith("out.")]).toEqual([true, true]);
    expect(desk.server.pictureHere("mark-out", "s2")).toEqual(["<svg>of s2</svg>"]);
    await vi.waitFor(() => expect(asked[2]).toEqual({ path: "/api/act?shown=s2&working=hold", base: "s1" }));
    answers.pop()?.(job("s2"));
    expect(await act).toBe(true);
    await vi.waitFor(() => expect(desk.writing).toBe(false));
    expect([desk.job?.stamp, desk.job?.working]).toEqual(["s2", []]);
    expect(desk.told).toContain("out.");
  });

  it("takes what it shows as what was done where the program says no more", async () => {
    await foreseen();
    const act = desk.act("design", OUT, "out");
    await vi.waitFor(() => expect(answers).toHaveLength(2));
    answers.pop()?.(new Response("null"));
    expect(await act).toBe(true);
    await vi.waitFor(() => expect(desk.writing).toBe(false));
    expect([desk.job?.stamp, desk.job?.working]).toEqual(["s2", ["hold"]]);
  });

  it("shows the job as it was again where what was shown ahead is not done after all", async () => {
    await foreseen();
    const act = desk.act("design", OUT, "out");
    await vi.waitFor(() => expect(desk.job?.stamp).toBe("s2"));
    await vi.waitFor(() => expect(answers).toHaveLength(2));
    answers.pop()?.(new Response('{"error":"the disk is full"}', { status: 500 }));
    expect(await act).toBe(false);
    await vi.waitFor(() => expect(desk.job?.stamp).toBe("s1"));
    expect([desk.writing, desk.told, desk.trouble?.says]).toEqual([false, "", "the disk is full"]);
    expect(desk.server.pictureHere("mark-out", "s1")).toEqual(["<svg>of s1</svg>"]);
  });

  it("shows nothing ahead for another act, nor for another state of the job", async () => {
    await foreseen();
    const other = desk.act("design", OUT, "otherwise called");
    await vi.waitFor(() => expect(answers).toHaveLength(2));
    expect([desk.job?.stamp, desk.writing]).toEqual(["s1", false]);
    answers.pop()?.(job("s3"));
    await other;
    const late = desk.act("design", OUT, "out");
    await vi.waitFor(() => expect(answers).toHaveLength(2));
    expect([desk.job?.stamp, desk.writing]).toEqual(["s3", false]);
    answers.pop()?.(job("s4"));
    expect(await late).toBe(true);
  });

  it("waits for the proof of what may be done, and ends that when something else may be", async () => {
    const stops: (AbortSignal | null | undefined)[] = [];
    const ahead = vi.spyOn(Server.prototype, "ahead").mockImplementation(async (...of) => {
      stops.push(of[5]);
      return told("s2", ["hold"]) as unknown as JobAsGiven;
    });
    desk.ahead("design", OUT, "out");
    desk.ahead("design", OUT, "out");
    await vi.waitFor(() => expect(ahead.mock.calls.map((of) => of[4])).toEqual(["bend", "hold"]));
    desk.ahead("design", [], "nothing");
    await vi.waitFor(() => expect(ahead.mock.calls.length).toBeGreaterThan(2));
    expect([stops[0]?.aborted, stops[2]?.aborted]).toEqual([true, false]);
    ahead.mockRestore();
  });
});
