/** The mark-out as the server draws it: where its points are on the drawing. */

import { drawn } from "../picture";
import type { Box, Place } from "./targets";

export interface Drawing {
  root: SVGSVGElement;
  all: Box;
  places: Place[];
}

function numbers(text: string | null): number[] {
  return (text ?? "").split(/[\s,]+/).map(Number);
}

/** The middle of a point's mark. */
function middle(group: Element): [number, number] | null {
  const mark = group.querySelector("circle");
  const [x, y] = [Number(mark?.getAttribute("cx")), Number(mark?.getAttribute("cy"))];
  return mark && Number.isFinite(x) && Number.isFinite(y) ? [x, y] : null;
}

const REFERS = ["aria-labelledby", "aria-describedby", "href", "fill", "stroke", "clip-path", "mask", "marker-start", "marker-end"];

/** The same drawing may stand on the page twice: each has ids of its own, and its references with them. */
export function withOwnIds(root: Element, own: string): void {
  const ids = new Map<string, string>();
  for (const element of [root, ...root.querySelectorAll("[id]")]) {
    if (!element.id) continue;
    ids.set(element.id, `${own}-${element.id}`);
    element.id = `${own}-${element.id}`;
  }
  for (const element of [root, ...root.querySelectorAll("*")]) {
    for (const name of REFERS) {
      const said = element.getAttribute(name);
      if (said === null) continue;
      const next = name.startsWith("aria-")
        ? said.split(" ").map((id) => ids.get(id) ?? id).join(" ")
        : said.replace(/#([^)"']+)/, (all, id: string) => (ids.has(id) ? `#${ids.get(id)}` : all));
      if (next !== said) element.setAttribute(name, next);
    }
  }
}

/** Nothing where it is no drawing, or has no size. */
export function drawingOf(svg: string, own: string): Drawing | null {
  const root = drawn(svg);
  if (!root) return null;
  withOwnIds(root, own);
  const [x = 0, y = 0, width = 0, height = 0] = numbers(root.getAttribute("viewBox"));
  if (!(width > 0 && height > 0)) return null;
  const places = [...root.querySelectorAll("[data-point]")].flatMap((group): Place[] => {
    const at = middle(group);
    const name = group.getAttribute("data-point");
    return at && name ? [{ name, x: at[0], y: at[1] }] : [];
  });
  root.removeAttribute("width");
  root.removeAttribute("height");
  root.setAttribute("role", "img");
  root.setAttribute("focusable", "false");
  return { root, all: { x, y, width, height }, places };
}
