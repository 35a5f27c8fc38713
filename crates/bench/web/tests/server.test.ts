import { describe, expect, it } from "vitest";
import { NotDone, Server } from "../src/server";

function answering(status: number, body: string) {
  const asked: { path: string; init: RequestInit }[] = [];
  const server = new Server("key of this run", async (path, init) => {
    asked.push({ path: String(path), init: init ?? {} });
    return new Response(body, { status });
  });
  return { server, asked };
}

describe("asking the server", () => {
  it("carries the key with everything", async () => {
    const { server, asked } = answering(200, "{}");
    await server.job();
    await server.act("design", [{ act: "set", at: ["title"], to: "Hoe" }], "title", "s1");
    for (const { init } of asked) {
      expect(new Headers(init.headers).get("x-gusset-key")).toBe("key of this run");
    }
    expect(asked[1]?.path).toBe("/api/act");
    expect(JSON.parse(String(asked[1]?.init.body))).toMatchObject({ file: "design", base: "s1" });
  });

  it("has the drawings in sight with each change, and those that rest on the proof with a proof", async () => {
    const job = { stamp: "s2", worked: 3, pictures: { "mark-out": ["<svg/>"], "cut-sheet": [] } };
    const { server, asked } = answering(200, JSON.stringify(job));
    const leave = server.inSight("mark-out");
    const leaveTwin = server.inSight("mark-out");
    server.inSight("cut-sheet");
    const given = await server.act("design", [], "title", "s1");
    expect(asked[0]?.path).toBe("/api/act?draw=mark-out,cut-sheet");
    expect(given).toEqual({ stamp: "s2", worked: 3 });
    expect(server.pictureHere("mark-out", "s2")).toEqual(["<svg/>"]);
    expect(server.pictureHere("mark-out", "s1")).toBeUndefined();
    expect(server.pictureHere("cut-sheet", "s2 3")).toEqual([]);
    await server.picture("mark-out", "s2");
    expect(asked).toHaveLength(1);
    await server.job(true);
    expect(asked[1]?.path).toBe("/api/job?draw=cut-sheet");
    leave();
    await server.undo("s2");
    expect(asked[2]?.path).toBe("/api/undo?draw=mark-out,cut-sheet");
    leaveTwin();
    await server.redo("s2");
    expect(asked[3]?.path).toBe("/api/redo?draw=cut-sheet");
  });

  it("tells what was wrong, and whether the page is behind", async () => {
    const wrong = JSON.stringify({ error: "that would leave it wrong", wrong: [{ line: 7, says: "no such key" }] });
    const error = await answering(422, wrong).server.undo("s1").catch((error: unknown) => error);
    expect(error).toBeInstanceOf(NotDone);
    expect((error as NotDone).wrong[0]?.line).toBe(7);
    expect((error as NotDone).stale).toBe(false);
    const stale = await answering(409, '{"error":"changed"}').server.undo("s1").catch((error: unknown) => error);
    expect((stale as NotDone).stale).toBe(true);
  });

  it("takes a refusal in plain words as it is", async () => {
    const error = await answering(403, "the key is missing").server.job().catch((error: unknown) => error);
    expect((error as NotDone).message).toBe("the key is missing");
  });
});
