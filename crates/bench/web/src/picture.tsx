/** A drawing as it is printed, put into the page as SVG with its own title and description. */

import { useEffect, useRef, useState } from "preact/hooks";
import type { Server } from "./server";
import type { PictureName } from "./types";

/** The drawing's root, or null when it is none. */
export function drawn(svg: string): SVGSVGElement | null {
  const parsed = new DOMParser().parseFromString(svg, "image/svg+xml");
  const root = parsed.documentElement;
  if (root.nodeName.toLowerCase() !== "svg") return null;
  return document.importNode(root, true) as unknown as SVGSVGElement;
}

function Page({ svg, name, number }: { svg: string; name: string; number: number }) {
  const holder = useRef<HTMLDivElement>(null);
  useEffect(() => {
    const root = drawn(svg);
    if (!root || !holder.current) return;
    root.removeAttribute("width");
    root.removeAttribute("height");
    root.setAttribute("role", "img");
    root.setAttribute("focusable", "false");
    holder.current.replaceChildren(root);
  }, [svg]);
  return <div class="page" ref={holder} data-drawing={`${name}-${number}`} />;
}

export function Picture({ server, name, stamp, called }: { server: Server; name: PictureName; stamp: string; called: string }) {
  const [pages, setPages] = useState<string[]>([]);
  useEffect(() => {
    let wanted = true;
    server
      .picture(name)
      .then((pages) => {
        if (wanted) setPages(pages);
      })
      .catch(() => {
        if (wanted) setPages([]);
      });
    return () => {
      wanted = false;
    };
  }, [server, name, stamp]);
  if (pages.length === 0) return null;
  return (
    <div class="picture" role="group" aria-label={called}>
      {pages.map((svg, index) => (
        <Page key={index} svg={svg} name={name} number={index + 1} />
      ))}
    </div>
  );
}
