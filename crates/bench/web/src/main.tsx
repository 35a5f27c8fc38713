import { render } from "preact";
import { keepFocus } from "./focus";
import { keyOf } from "./key";
import { Server } from "./server";
import { browserStore, settingsKept, settle } from "./settings";
import { Bench } from "./start";
import "./style.css";

let key = keyOf(window);
// A new address of another run, put into a tab that is open, changes nothing but what stands behind the `#`.
addEventListener("hashchange", () => {
  const now = keyOf(window);
  if (now !== key) location.reload();
  key = now;
});

settle(settingsKept(browserStore()), document.documentElement, null);
keepFocus(document);

const root = document.getElementById("sheet");
if (root) render(<Bench server={new Server(key)} />, root);
