import { render } from "preact";
import { Sheet } from "./sheet";
import { Server } from "./server";
import "./style.css";

const root = document.getElementById("sheet");
if (root) render(<Sheet server={new Server(location.hash.slice(1))} />, root);
