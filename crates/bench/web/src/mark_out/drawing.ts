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

/** Nothing where it is no drawing, or has no size. */
export function drawingOf(svg: string): Drawing | null {
  const root = drawn(svg);
  if (!root) return null;
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
