/** The sections of the sheet, in the order of the work. */

import type { ComponentChildren } from "preact";
import { Verdict } from "./answers";
import type { Desk } from "./desk";
import { Picture } from "./picture";
import { inWords, rowsOf } from "./typed";
import { FILES, isSummary, type Job, type PictureName, type Question, type Said, type Summary } from "./types";
import { type FromFile, Values } from "./values";

export interface SectionDef {
  id: string;
  title: string;
  lead: string;
  values: FromFile[];
  picture?: { name: PictureName; called: string };
  /** The question whose answer stands at its head. */
  question?: Question;
  rows?: (summary: Summary, said: Said) => ComponentChildren;
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

const from = (file: FromFile["file"], key: string, called: string): FromFile => ({ file, key, called });

export const SECTIONS: SectionDef[] = [
  {
    id: "ask",
    title: "Ask",
    lead: "What is it for, and who may depend on it?",
    values: [
      from("design", "title", "What it is called"),
      from("design", "about", "What it is for"),
      from("design", "revision", "Revision of the design"),
      from("design", "hand", "The hand it is drawn for"),
      from("fit", "title", "What this fit is called"),
      from("fit", "hand", "The hand of this fit"),
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
      from("design", "survey", "How readings are taken"),
      from("fit", "places", "Places on the machine"),
      from("fit", "place_readings", "Readings of places"),
      from("shop", "instruments", "How sure the instruments are"),
    ],
    rows: (summary, said) => (
      <Rows
        heads={["reading", "read", "off by", "looks like a slip"]}
        rows={(summary.survey?.readings ?? []).map((row, index) => [
          row.about,
          row.read,
          said.readings[index] ?? "",
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
      from("design", "panels", "Panels"),
      from("design", "seams", "Seams"),
      from("design", "marks", "Marks"),
      from("design", "card", "The card of the mock-up"),
      from("design", "plate", "Plate"),
    ],
    picture: { name: "blank", called: "The blank" },
  },
  {
    id: "fold",
    title: "Fold and fit",
    question: "fit",
    lead: "The folded part on its mounts.",
    values: [
      from("fit", "mounts", "Mounts"),
      from("fit", "support", "Support"),
      from("fit", "keep_outs", "Keep-outs"),
      from("fit", "down", "Which way is down"),
    ],
    picture: { name: "folded", called: "The folded part" },
    rows: (summary, said) => (
      <Rows
        heads={["mount", "off its hole by", "may be off"]}
        rows={(summary.fit?.mounts ?? []).map((row, index) => [
          row.name,
          said.mounts[index]?.offset ?? "",
          said.mounts[index]?.allowed ?? "",
        ])}
      />
    ),
  },
  {
    id: "hold",
    title: "Hold",
    question: "hold",
    lead: "For the loads listed. A fall, a jam or another person can be more; prove the part on the bench.",
    values: [
      from("fit", "loads", "Loads"),
      from("fit", "together", "Together"),
      from("fit", "limits", "Limits"),
      from("fit", "never", "What never happens"),
      from("fit", "proof", "The proof on the bench"),
      from("shop", "welder", "Welder"),
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
    question: "cut",
    lead: "As the machine's book and local codes say; the arc blinds, the fume is poison, the edge is hot.",
    values: [
      from("shop", "cutter", "Cutter"),
      from("shop", "stock", "Sheets"),
      from("shop", "kerfs", "Kerf tests"),
    ],
    picture: { name: "cut-sheet", called: "The sheet for the cutting table" },
    rows: (summary, said) => (
      <Rows
        heads={["cut", "what", "length"]}
        rows={(summary.cut?.order ?? []).map((row, index) => [row.number, row.name, said.cuts[index] ?? ""])}
      />
    ),
  },
  {
    id: "bend",
    title: "Bend",
    question: "bend",
    lead: "Guards and two-hand controls stay as they are.",
    values: [
      from("shop", "bender", "Bending tools"),
      from("shop", "strips", "Test strips"),
      from("shop", "neutral", "The shop's own K-factors"),
    ],
    picture: { name: "bend-cards", called: "The bend cards" },
    rows: (summary, said) => (
      <Rows
        heads={["step", "bend", "bent through", "between the legs", "up", "gauge to the middle", "tool"]}
        rows={(summary.bend?.order ?? []).map((row, index) => [
          row.number,
          row.bend,
          said.bends[index]?.bent ?? "",
          said.bends[index]?.between_legs ?? "",
          row.face_up,
          said.bends[index]?.gauge_to_middle ?? "",
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
    values: [
      from("shop", "title", "The shop"),
      from("shop", "handbook", "Values that this shop knows better"),
    ],
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
      {section.question && <Verdict answers={job.answers} question={section.question} />}
      <p>{section.lead}</p>
      {section.values.map((from) => (
        <Values key={`${from.file}-${from.key}`} desk={desk} job={job} from={from} />
      ))}
      {summary && job.said && section.rows?.(summary, job.said)}
      {section.picture && <Picture server={desk.server} stamp={job.stamp} {...section.picture} />}
    </section>
  );
}

/** Keys of the files that no section names, as they stand there: each value has a field somewhere. */
export function restOf(job: Job): FromFile[] {
  const named = new Set(SECTIONS.flatMap((section) => section.values.map((from) => `${from.file} ${from.key}`)));
  return FILES.flatMap((file) =>
    rowsOf(job.files[file]?.values ?? null)
      .map(([key]) => key)
      .filter((key) => !named.has(`${file} ${key}`))
      .map((key) => ({ file, key, called: `${inWords(key)} (${file})` })),
  );
}

export function Rest({ number, desk, job }: { number: number; desk: Desk; job: Job }) {
  const rest = restOf(job);
  if (rest.length === 0) return null;
  return (
    <section id="rest" aria-labelledby="rest-title" tabIndex={-1}>
      <h2 id="rest-title">{number}. All else that the files say</h2>
      <p>How the files are written, and what no section above is about.</p>
      {rest.map((from) => (
        <Values key={`${from.file}-${from.key}`} desk={desk} job={job} from={from} />
      ))}
    </section>
  );
}
