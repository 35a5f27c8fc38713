/** Make: what is written for the shop, and the page on paper. */

import { useEffect, useState } from "preact/hooks";
import { type Desk, troubleOf } from "../desk";
import { Choice } from "../forms/choice";
import { Press } from "../press";
import { from, type SectionDef } from "../section";
import type { Server } from "../server";
import { inTurn } from "../turns";
import type { Job } from "../types";
import "./make.css";

export interface MadeRow {
  name: string;
  is_for: string;
  size: string;
}

export interface NotMade {
  name: string;
  is_for: string;
  why: string;
  taken_away: boolean;
}

export interface Made {
  folder: string;
  files: MadeRow[];
  /** They were made from the job as it is now. */
  of_this_state: boolean;
  not?: NotMade[];
}

const PAPERS = [
  { paper: "a4", called: "A4 (210 by 297 mm)" },
  { paper: "letter", called: "Letter (8-1/2 by 11 in)" },
] as const;
type Paper = (typeof PAPERS)[number]["paper"];

/** So long the browser has to take a file, ms. */
const TAKEN_BY_MS = 30_000;

/** Hands a file to the browser, which keeps it as it keeps every download. */
export async function handOver(server: Server, name: string): Promise<void> {
  const blob = await server.file(`/api/made/${encodeURIComponent(name)}`);
  const address = URL.createObjectURL(blob);
  const link = document.createElement("a");
  link.href = address;
  link.download = name;
  link.click();
  setTimeout(() => URL.revokeObjectURL(address), TAKEN_BY_MS);
}

function Get({ server, name, tell }: { server: Server; name: string; tell: (says: string) => void }) {
  const get = () => {
    handOver(server, name)
      .then(() => tell(`${name} is handed to the browser.`))
      .catch((error: unknown) => tell(`${name} cannot be given: ${troubleOf(error).says}`));
  };
  return (
    <Press plain onPress={get}>
      Download {name}
    </Press>
  );
}

/** What was written, with what each is for; what was not, and why. */
export function Files({ made, server, tell }: { made: Made; server: Server; tell: (says: string) => void }) {
  return (
    <>
      {made.files.length > 0 && (
        <>
          <h3>In {made.folder}</h3>
          {!made.of_this_state && (
            <p class="care-note">
              <strong>Care</strong> These were made from an earlier state of the job, or by the command "gusset make". Write them again to be sure.
            </p>
          )}
          <ul class="made">
            {made.files.map((file) => (
              <li key={file.name}>
                <p>
                  <strong>{file.name}</strong> ({file.size}): {file.is_for}
                </p>
                <Get server={server} name={file.name} tell={tell} />
              </li>
            ))}
          </ul>
        </>
      )}
      {made.not && made.not.length > 0 && (
        <>
          <h3>Not written</h3>
          <ul class="made">
            {made.not.map((file) => (
              <li key={file.name}>
                <p>
                  <strong>{file.name}</strong> ({file.is_for}): {file.why}
                </p>
                {file.taken_away && <p>An older one was taken away, since it is no longer right.</p>}
              </li>
            ))}
          </ul>
        </>
      )}
    </>
  );
}

function Make({ desk, job }: { desk: Desk; job: Job }) {
  const [paper, setPaper] = useState<Paper>("a4");
  const [made, setMade] = useState<Made | null>(null);
  const [says, setSays] = useState("");
  const [busy, setBusy] = useState(false);
  const { server } = desk;
  const { stamp } = job;
  useEffect(() => {
    let wanted = true;
    // Whether they are of this state is not known till it is asked.
    setMade((before) => before && { ...before, of_this_state: false });
    const leave = inTurn(false, () =>
      server
        .get<Made>("/api/made")
        // What was not written is still true while nothing has changed.
        .then((now) => {
          if (wanted) setMade((before) => (now.of_this_state && before?.not ? { ...now, not: before.not } : now));
        })
        .catch((error: unknown) => {
          if (wanted) setSays(troubleOf(error).says);
        }),
    );
    return () => {
      wanted = false;
      leave();
    };
  }, [server, stamp]);
  const write = () => {
    setBusy(true);
    setSays("The files are being written.");
    server
      .post<Made>("/api/make", { paper, base: stamp })
      .then((now) => {
        setMade(now);
        const not = now.not?.length ?? 0;
        setSays(`${now.files.length} files are written into ${now.folder}${not > 0 ? `; ${not} are not, each with its reason` : ""}.`);
      })
      .catch((error: unknown) => setSays(`Not written: ${troubleOf(error).says}`))
      .finally(() => setBusy(false));
  };
  return (
    <div class="make">
      <Choice
        label="Paper of the sheets, the cards and the 1:1 template"
        options={PAPERS.map(({ paper, called }) => ({ value: paper, says: called }))}
        value={paper}
        choose={(chosen) => setPaper(PAPERS.find(({ paper }) => paper === chosen)?.paper ?? paper)}
      />
      <div class="back">
        <Press onPress={write} waits={busy}>
          Write the files
        </Press>
        <Press plain onPress={() => window.print()}>
          Print this page
        </Press>
      </div>
      <p class="told" role="status">
        {says}
      </p>
      <p>
        Printed, this page has the five answers, what the program says, what it found, and every drawing on it. It is not at true size; the
        template is. Print the template at 100 %, and measure its check square.
      </p>
      {made && <Files made={made} server={server} tell={setSays} />}
    </div>
  );
}

export const make: SectionDef = {
  id: "make",
  title: "Make",
  lead: "Everything for the shop, written into the folder out of the job. Guards, eyes, ears and hands first; edges are sharp until they are broken.",
  values: [
    from("shop", "title", "The shop"),
    from("shop", "handbook", "Values that this shop knows better"),
  ],
  body: Make,
};
