import { render } from "preact";
import { afterEach, beforeEach, expect, it, vi } from "vitest";
import { Deferred } from "../src/deferred";

let holder: HTMLElement;

beforeEach(() => {
  vi.useFakeTimers();
  holder = document.createElement("div");
});
afterEach(() => {
  render(null, holder);
  vi.useRealTimers();
});

const show = (atOnce: boolean, text: string) => render(<Deferred atOnce={atOnce} draw={() => text} />, holder);

it("what is looked at is drawn at once, and what is not in its turn, as it is then", async () => {
  show(false, "one");
  expect(holder.textContent).toBe("one");
  show(true, "two");
  expect(holder.textContent).toBe("two");
  show(false, "three");
  show(false, "four");
  expect(holder.textContent).toBe("two");
  await vi.advanceTimersByTimeAsync(400);
  expect(holder.textContent).toBe("four");
});

it("what comes into sight meanwhile does not wait, and is drawn once", async () => {
  const draw = vi.fn(() => "three");
  show(true, "one");
  show(false, "two");
  render(<Deferred atOnce draw={draw} />, holder);
  expect(holder.textContent).toBe("three");
  await vi.advanceTimersByTimeAsync(400);
  expect(draw).toHaveBeenCalledOnce();
});

it("what is gone is not drawn any more", async () => {
  const draw = vi.fn(() => "two");
  show(false, "one");
  render(<Deferred atOnce={false} draw={draw} />, holder);
  render(null, holder);
  await vi.advanceTimersByTimeAsync(400);
  expect(draw).not.toHaveBeenCalled();
});
