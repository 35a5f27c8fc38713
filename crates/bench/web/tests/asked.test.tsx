import { render } from "preact";
import { afterEach, expect, it, vi } from "vitest";
import { type Asked, useAsked } from "../src/asked";
import { useKeys } from "../src/forms/known";
import type { Keys } from "../src/forms/keys";
import { NotDone, Server } from "../src/server";

afterEach(() => vi.useRealTimers());

it("what a silent server did not answer is asked again, and what it refused is not", async () => {
  vi.useFakeTimers();
  const answers = [() => Promise.reject(new TypeError("no connection")), () => Promise.resolve(7)];
  const refused = vi.fn(() => Promise.reject(new NotDone(422, "there is no such thing")));
  const ask = vi.fn(() => (answers.shift() ?? (() => Promise.resolve(8)))());
  let came: Asked<number> | null = null;
  let not: Asked<number> | null = null;
  function Two() {
    came = useAsked("s", ask);
    not = useAsked<number>("s", refused);
    return null;
  }
  const holder = document.createElement("div");
  render(<Two />, holder);
  await vi.advanceTimersByTimeAsync(100);
  expect(came).toMatchObject({ failed: expect.stringContaining("does not answer") });
  await vi.advanceTimersByTimeAsync(5000);
  expect(came).toEqual({ stamp: "s", given: 7 });
  expect(not).toEqual({ stamp: "s", failed: "there is no such thing" });
  expect(refused).toHaveBeenCalledOnce();
  render(null, holder);
});

it("the key tables come also after a failure", async () => {
  vi.useFakeTimers();
  let times = 0;
  const server = new Server("k", async () => {
    times += 1;
    if (times === 1) throw new TypeError("no connection");
    return new Response('{"design":[],"fit":[],"shop":[]}');
  });
  let keys: Keys | null = null;
  function Waiting() {
    keys = useKeys(server);
    return null;
  }
  const holder = document.createElement("div");
  render(<Waiting />, holder);
  await vi.advanceTimersByTimeAsync(5000);
  expect(keys).toEqual({ design: [], fit: [], shop: [] });
  render(null, holder);
});
