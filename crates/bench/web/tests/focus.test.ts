import { afterEach, beforeEach, describe, expect, it } from "vitest";
import { keepFocus } from "../src/focus";

let end: () => void;
const byId = (id: string) => document.getElementById(id) as HTMLElement;
const soon = () => new Promise((done) => setTimeout(done, 5));

describe("the focus", () => {
  beforeEach(() => {
    document.body.innerHTML = '<section tabindex="-1" id="s"><div id="f"><input id="i"><button id="b">Keep</button></div></section><button id="o">Other</button>';
    end = keepFocus(document);
  });
  afterEach(() => end());

  it("goes to what stands beside a button that its own press took away", async () => {
    byId("b").focus();
    byId("b").remove();
    byId("f").append("kept");
    await soon();
    expect(document.activeElement?.id).toBe("i");
  });

  it("is left alone where all of the page has gone", async () => {
    document.body.innerHTML = '<div id="sheet"><button id="b">Start</button></div>';
    byId("b").focus();
    byId("sheet").innerHTML = '<a href="#x">Skip</a><button id="n">New</button>';
    await soon();
    expect(document.activeElement).toBe(document.body);
  });

  it("is not taken from where the person has gone", async () => {
    byId("b").focus();
    byId("o").focus();
    byId("b").remove();
    await soon();
    expect(document.activeElement?.id).toBe("o");
    byId("o").blur();
    await soon();
    byId("f").append("more");
    await soon();
    expect(document.activeElement).toBe(document.body);
  });
});
