/** Plain words for what the files have short keys for. */

import { inWords } from "../typed";
import type { Way } from "../types";
import type { Key, Shape, Takes } from "./keys";

/** How something is found or said, by the key that leads it; the rest is told by what the keys mean. */
const HOWS: Record<string, string> = {
  "points at": "By two distances from the axes",
  "points toward": "Along a line and off it",
  "points reach": "A distance away in a direction",
  "points swing": "By two swung arcs",
  "points where": "Where two lines cross",
  "points foot": "Square onto a line",
  "points middle": "Half way between two points",
  "points mirror": "Mirrored over a line",
  "points tangent": "Where a tangent touches a circle",
  "readings between": "From one point to another",
  "readings corner": "An angle at a point",
  "readings off": "Square from a line to a point",
  "readings lines": "An angle between two lines",
  "readings edges": "From hole edge to hole edge",
  "outline via": "Through a third point",
  "outline radius": "By its radius",
  "bends bent": "By the angle it is bent through",
  "bends between_legs": "By the angle left between the legs",
  "holes dia": "By its diameter",
  "holes for": "By the screw it is for",
  "windows inside": "By its corner points",
  "windows panel": "The shape of a panel, moved in",
  "marks text": "Words",
  "marks line": "A line",
  "keep_outs box": "A box",
  "keep_outs cylinder": "A cylinder with flat ends",
  "keep_outs capsule": "A cylinder with round ends",
  "keep_outs beyond": "Everything beyond a plane",
};

function capital(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1);
}

/** A form of something, in a few words. */
export function howOf(way: Way, shape: Shape): string {
  const known = HOWS[`${String(way[0])} ${shape.lead}`];
  return known ?? capital(shape.keys.find((key) => key.name === shape.lead)?.says ?? inWords(shape.lead));
}

/** What a form of something asks for. */
export function asksFor(shape: Shape): string {
  return shape.keys
    .filter((key) => key.must)
    .map((key) => key.says)
    .join("; ");
}

const ONE: Record<string, string> = {
  points: "point",
  readings: "reading",
  holes: "hole",
  slots: "slot",
  windows: "window",
  bends: "crease",
  panels: "panel",
  seams: "seam",
  marks: "scribed mark",
  measures: "measure",
  places: "place",
  place_readings: "reading of places",
  mounts: "mount",
  keep_outs: "keep-out",
  loads: "load",
  together: "group of loads",
  proof: "reading of the proof",
  stock: "sheet",
  kerfs: "kerf test",
  strips: "test strip",
  neutral: "K-factor",
  instruments: "instrument",
  handbook: "value",
  corners: "worked corner",
  arcs: "edge that is an arc",
  through: "corner",
  inside: "corner",
  gone: "place that is cut away",
  clamps: "clamp",
};

/** What one row of a table or list is called. */
export function oneOf(way: Way): string {
  const key = [...way].reverse().find((step) => typeof step === "string");
  return ONE[String(key)] ?? `row of ${inWords(String(key ?? ""))}`;
}

export function article(noun: string): string {
  return `${/^[aeiou]/i.test(noun) ? "an" : "a"} ${noun}`;
}

const QUANTITIES: Record<string, string> = {
  length: "a length",
  angle: "an angle",
  mass: "a mass",
  force: "a force",
  moment: "a turning force",
  stiffness: "a stiffness",
  "turn-stiffness": "a stiffness against turning",
  "per-length": "so much for each length",
  any: "a value",
};

/** What a value may be, in a few words, where one of several is chosen. */
export function kindOf(takes: Takes): string {
  switch (takes.is) {
    case "name":
      return takes.of === null ? "A name" : `${capital(article(takes.of))} that is there`;
    case "sum":
      return capital(QUANTITIES[takes.of] ?? "a value");
    case "list": {
      const each = takes.of.is === "sum" ? (QUANTITIES[takes.of.of] ?? "a value").replace(/^an? /, "") : takes.of.is;
      if (takes.of.is === "name") return takes.of.of === "point" ? "Two points" : "Some of them";
      return takes.least === takes.most ? `${capital(COUNTS[takes.least] ?? String(takes.least))} ${each}s` : "A list";
    }
    case "word":
      return capital(takes.one_of.join(" or "));
    case "table":
      return "With more about it";
    case "shapes":
      return "In one of several ways";
    case "line":
      return "A line";
    case "number":
    case "whole":
      return "A number";
    case "text":
      return "Words";
    default:
      return capital(takes.is);
  }
}

const COUNTS: Record<number, string> = { 2: "two", 3: "three", 4: "four" };

const ORDER = ["first", "second", "third", "fourth"];

/** A place of a list of fixed length, by the key and the label of the list: "at across", "line, one end", "between, first point". */
export function placeIn(label: string, key: string, takes: Takes, index: number): string {
  const counted = `${label} ${index + 1}`;
  if (takes.is !== "list") return counted;
  const { of, least } = takes;
  if (of.is === "sum" && of.of === "length") {
    const axes = least === 3 ? ["x", "y", "z"] : least === 2 && (key === "at" || key === "points") ? ["across", "up"] : [];
    return axes[index] ? `${label} ${axes[index]}` : counted;
  }
  if (of.is === "name" && of.of === "point" && key === "line" && least === 2) return `${label}, ${index === 0 ? "one end" : "the other end"}`;
  const noun = of.is === "name" ? of.of : of.is === "line" ? "line" : null;
  return noun && ORDER[index] ? `${label}, ${ORDER[index]} ${noun}` : counted;
}

/** What one of a pair is called. */
export function partOf(takes: Takes): string {
  if (takes.is === "name") return takes.of ?? "name";
  return takes.is === "sum" ? takes.of : takes.is;
}

/** What a key means, as far as its first words tell it: "the centre" of "the centre: a point, or across and up". */
export function meantBy(key: Pick<Key, "says">): string {
  return (key.says.split(/[:;,(]/)[0] ?? "").trim();
}

/** The hint that stands beside a value. */
export function hintOf(key: Pick<Key, "says" | "example" | "must">): string {
  if (!key.says) return "";
  const example = key.example.replace(/^"|"$/g, "").replace(/\\"/g, '"');
  // A list or table is said part by part.
  const such = example && !/^[[{]/.test(example) ? ` For example: ${example}.` : "";
  return `${capital(key.says)}.${such}${key.must ? "" : " May be left out."}`;
}
