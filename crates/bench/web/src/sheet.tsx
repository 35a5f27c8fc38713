/** The job sheet: the answers in sight, then the work from top to bottom in its order. */

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

export function Sheet({ server }: { server: Server }) {
  const desk = useDesk(server);
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
          {desk.busy ? (desk.writing ? "It is being written into the file." : "Working it out. What is shown is from before.") : desk.told}
        </p>
      </header>
      <PageOne job={job} />
      <Answers job={job} />
      <SinceKept desk={desk} job={job} />
      {trouble}
      <main class={desk.busy && !desk.writing ? "older" : ""} data-stamp={job.stamp} data-writing={desk.writing ? "" : undefined}>
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
