/** The job sheet: the answers in sight, then the work from top to bottom in its order. */

import { useEffect, useState } from "preact/hooks";
import { Answers } from "./answers";
import { useDesk } from "./desk";
import { Findings } from "./findings";
import { PageOne } from "./page_one";
import { Press } from "./press";
import { Section } from "./section";
import { Rest, SECTIONS } from "./sections";
import type { Server } from "./server";
import { SettingsForm } from "./settings_form";
import { SinceKept } from "./since";
import { isSummary } from "./types";

/** By then the first answers are painted, ms. */
const LAID_OUT_MS = 500;

/**
 * Whether the sections have been laid out once, so that the browser knows how high each is: from then on those out of sight
 * need not be laid out again with each change.
 */
function useLaidOut(isThere: boolean): boolean {
  const [laid, setLaid] = useState(false);
  useEffect(() => {
    if (!isThere) return;
    const later = setTimeout(() => setLaid(true), LAID_OUT_MS);
    return () => clearTimeout(later);
  }, [isThere]);
  return laid;
}

export function Sheet({ server }: { server: Server }) {
  const desk = useDesk(server);
  const laid = useLaidOut(desk.job !== null);
  const { job } = desk;
  const trouble = desk.trouble && (
    <p class="trouble" role="alert">
      {desk.trouble.says}
    </p>
  );
  if (!job) return <main>{trouble ?? <p>The job is being read.</p>}</main>;
  const summary = isSummary(job.answers) ? job.answers : null;
  return (
    <>
      <a class="skip" href="#ask">
        Skip to the work
      </a>
      <header class="top">
        <h1>{summary?.job.title ?? "Job"}</h1>
        <p class="made-from">
          {[job.fit && `fit ${job.fit}`, summary?.job.stock, summary && `${summary.job.hand} hand`]
            .filter(Boolean)
            .join("; ")}
        </p>
        <div class="back">
          <Press waits={!job.undo || desk.busy} onPress={() => void desk.undo()}>
            Take back{job.undo ? `: ${job.undo}` : ""}
          </Press>
          <Press waits={!job.redo || desk.busy} onPress={() => void desk.redo()}>
            Do again{job.redo ? `: ${job.redo}` : ""}
          </Press>
        </div>
        <p class="told" role="status">
          {desk.busy ? "Working it out. What is shown is from before." : desk.told}
        </p>
      </header>
      <PageOne job={job} />
      <Answers job={job} />
      <SinceKept desk={desk} job={job} />
      {trouble}
      <main class={[desk.busy ? "older" : "", laid ? "laid" : ""].join(" ").trim()} data-stamp={job.stamp}>
        <Findings answers={job.answers} />
        {SECTIONS.map((section, index) => (
          <Section key={section.id} number={index + 1} section={section} desk={desk} job={job} />
        ))}
        <Rest number={SECTIONS.length + 1} desk={desk} job={job} />
        <SettingsForm />
      </main>
    </>
  );
}
