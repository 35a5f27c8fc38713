/** A drawing as it is printed, put into the page as SVG with its own title and description. */

import { useLayoutEffect, useRef } from "preact/hooks";
import { usePicture } from "./pictured";
import type { Server } from "./server";
import type { PictureName } from "./types";

/** The drawing's root, or null when it is none. */
export function drawn(svg: string): SVGSVGElement | null {
  // The parser of pages is twice as quick as that of XML, and what it makes belongs to this page at once.
  const holder = document.createElement("template");
  holder.innerHTML = svg.slice(Math.max(0, svg.indexOf("<svg")));
  const root = holder.content.firstElementChild;
  return root?.nodeName.toLowerCase() === "svg" ? document.adoptNode(root as SVGSVGElement) : null;
}

function Page({ svg, name, number }: { svg: string; name: string; number: number }) {
  const holder = useRef<HTMLDivElement>(null);
  // A drawing is changed where it stands before the frame is painted: nothing of the page moves.
  useLayoutEffect(() => {
    if (!holder.current) return;
    const root = drawn(svg);
    if (!root) {
      holder.current.textContent = "This page of the drawing is none that can be shown.";
      return;
    }
    root.removeAttribute("width");
    root.removeAttribute("height");
    root.setAttribute("role", "img");
    root.setAttribute("focusable", "false");
    holder.current.replaceChildren(root);
  }, [svg]);
  return <div class="page" ref={holder} data-drawing={`${name}-${number}`} />;
}

interface PictureProps {
  server: Server;
  name: PictureName;
  /** What it belongs to: drawn anew when it is another. */
  stamp: string;
  called: string;
  /** What it shows is still being worked out: the one of before stands till then, and says so. */
  waits?: boolean;
}

export function Picture({ server, name, stamp, called, waits = false }: PictureProps) {
  const { ref, asked } = usePicture(server, name, stamp, waits);
  // A drawing of older texts that stands under answers that are new says so.
  const isOlder = waits || asked?.stamp !== stamp;
  const pages = asked?.given ?? [];
  return (
    <div class={isOlder && pages.length > 0 ? "picture before" : "picture"} role="group" aria-label={called} ref={ref}>
      {!asked && <p class="no-picture">{called} is being {waits ? "worked out" : "drawn"}.</p>}
      {asked?.failed !== undefined && (
        <p class="no-picture" role="status">
          {called} cannot be shown: {asked.failed}
        </p>
      )}
      {asked?.given?.length === 0 && <p class="no-picture">{called}: there is nothing to draw as the job stands.</p>}
      {isOlder && pages.length > 0 && <p class="working">Working. This is {called.toLowerCase()} of before the last change.</p>}
      {pages.map((svg, index) => (
        <Page key={index} svg={svg} name={name} number={index + 1} />
      ))}
    </div>
  );
}
