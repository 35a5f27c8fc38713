/** The sections of the sheet, in the order of the work. */

import type { ComponentChildren } from "preact";
import type { Desk } from "./desk";
import { Picture } from "./picture";
import { isSummary, type Job, type PictureName, type Summary } from "./types";
import { type FromFile, Values } from "./values";

export interface SectionDef {
  id: string;
  title: string;
  lead: string;
  values: FromFile[];
  picture?: { name: PictureName; called: string };
  rows?: (summary: Summary) => ComponentChildren;
}

function Rows({ heads, rows }: { heads: string[]; rows: (string | number)[][] }) {
  if (rows.length === 0) return null;
  return (
    <div class="wide" role="region" aria-label={heads.join(", ")} tabIndex={0}>
      <table>
        <thead>
          <tr>
            {heads.map((head) => (
              <th scope="col" key={head}>
                {head}
              </th>
            ))}
          </tr>
        </thead>
        <tbody>
          {rows.map((row, index) => (
            <tr key={index}>
              {row.map((cell, column) => (
                <td key={column}>{cell}</td>
              ))}
            </tr>
          ))}
        </tbody>
      </table>
    </div>
  );
}

const mm = (value: number) => `${value.toFixed(1)} mm`;
const from = (file: FromFile["file"], key: string, called: string): FromFile => ({ file, key, called });

export const SECTIONS: SectionDef[] = [
  {
    id: "ask",
    title: "Ask",
    lead: "What is it for, and who may depend on it?",
    values: [
      from("design", "title", "What it is called"),
      from("design", "about", "What it is for"),
      from("fit", "care", "The five questions"),
    ],
  },
  {
    id: "measure",
    title: "Measure",
    lead: "What the tape said, and what corrects it.",
    values: [
      from("fit", "measures", "Measures of this body"),
      from("design", "measures", "Measures of the design"),
      from("design", "readings", "Readings"),
    ],
    rows: (summary) => (
      <Rows
        heads={["reading", "read", "off by", "looks like a slip"]}
        rows={(summary.survey?.readings ?? []).map((row) => [
          row.about,
          row.read,
          row.residual_mm == null ? "" : `${row.residual_mm.toFixed(2)} mm`,
          row.suspect ? "yes" : "no",
        ])}
      />
    ),
  },
  {
    id: "mark-out",
    title: "Mark out",
    lead: "Points, the outline through them, holes, windows and bends.",
    values: [
      from("design", "points", "Points"),
      from("design", "outline", "Outline"),
      from("design", "bends", "Bends"),
      from("design", "holes", "Holes"),
      from("design", "slots", "Slots"),
      from("design", "windows", "Windows"),
      from("design", "plate", "Plate"),
    ],
    picture: { name: "blank", called: "The blank" },
  },
  {
    id: "fold",
    title: "Fold and fit",
    lead: "The folded part on its mounts.",
    values: [
      from("fit", "mounts", "Mounts"),
      from("fit", "support", "Support"),
      from("fit", "keep_outs", "Keep-outs"),
    ],
    picture: { name: "folded", called: "The folded part" },
    rows: (summary) => (
      <Rows
        heads={["mount", "off its hole by", "may be off"]}
        rows={(summary.fit?.mounts ?? []).map((row) => [row.name, mm(row.offset_mm), mm(row.allowed_mm)])}
      />
    ),
  },
  {
    id: "hold",
    title: "Hold",
    lead: "For the loads listed. A fall, a jam or another person can be more; prove the part on the bench.",
    values: [
      from("fit", "loads", "Loads"),
      from("fit", "together", "Together"),
      from("fit", "limits", "Limits"),
    ],
    picture: { name: "stress", called: "Stress and movement" },
    rows: (summary) => (
      <Rows
        heads={["check", "under", "of its limit"]}
        rows={(summary.prove?.checks ?? []).map((row) => [row.says, row.load, `${(100 * row.used).toFixed(0)} %`])}
      />
    ),
  },
  {
    id: "cut",
    title: "Cut",
    lead: "As the machine's book and local codes say; the arc blinds, the fume is poison, the edge is hot.",
    values: [from("shop", "cutter", "Cutter"), from("shop", "stock", "Sheets")],
    picture: { name: "cut-sheet", called: "The sheet for the cutting table" },
    rows: (summary) => (
      <Rows
        heads={["cut", "what", "length"]}
        rows={(summary.cut?.order ?? []).map((row) => [row.number, row.name, mm(row.length_mm)])}
      />
    ),
  },
  {
    id: "bend",
    title: "Bend",
    lead: "Guards and two-hand controls stay as they are.",
    values: [from("shop", "bender", "Bending tools"), from("shop", "strips", "Test strips")],
    picture: { name: "bend-cards", called: "The bend cards" },
    rows: (summary) => (
      <Rows
        heads={["step", "bend", "bent through", "between the legs", "up", "gauge to the middle", "tool"]}
        rows={(summary.bend?.order ?? []).map((row) => [
          row.number,
          row.bend,
          `${row.bent_deg.toFixed(1)} deg`,
          `${row.between_legs_deg.toFixed(1)} deg`,
          row.face_up,
          mm(row.gauge_to_middle_mm),
          row.tool,
        ])}
      />
    ),
  },
  {
    id: "make",
    title: "Make",
    lead:
      "Print this page from the browser's menu, with the drawings in it. `gusset make` writes the 1:1 template, the program for the table, " +
      "the cards and the solids as files.",
    values: [],
  },
];

export function Section({ number, section, desk, job }: { number: number; section: SectionDef; desk: Desk; job: Job }) {
  const summary = isSummary(job.answers) ? job.answers : null;
  const title = `${section.id}-title`;
  return (
    <section id={section.id} aria-labelledby={title} tabIndex={-1}>
      <h2 id={title}>
        {number}. {section.title}
      </h2>
      <p>{section.lead}</p>
      {section.values.map((from) => (
        <Values key={`${from.file}-${from.key}`} desk={desk} job={job} from={from} />
      ))}
      {summary && section.rows?.(summary)}
      {section.picture && <Picture server={desk.server} stamp={job.stamp} {...section.picture} />}
    </section>
  );
}
