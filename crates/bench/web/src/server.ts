/** Asking the server. */

import type { Keys } from "./forms/keys";
import type { Measured, Slip, SlipOf } from "./measure/measured";
import type { Folding, Held, Helps, LoadKind } from "./solid/told";
import { type Act, type Answers, type FileName, type Job, ON_PROOF, type PictureName, pictureStamp, type Way, type WrongRow } from "./types";

/** While the server does not answer, it is asked again after so long, ms. */
export const ASK_AGAIN_MS = 2000;

/** The server did not do it. */
export class NotDone extends Error {
  constructor(
    readonly status: number,
    says: string,
    readonly wrong: WrongRow[] = [],
  ) {
    super(says);
  }

  /** The job has changed meanwhile. */
  get stale(): boolean {
    return this.status === 409;
  }
}

/** What a text is understood as at its place; neither where there is nothing to say of it. */
export interface Echo {
  understood?: string;
  not_understood?: string;
}

/** What stands now. */
export interface Seen {
  stamp: string;
  worked: number;
  changed: boolean;
}

/** How far acts that may be done are worked out: all but the proof, which takes longest by far, or all. */
export type Upto = "bend" | "hold";

/** With the drawings that were in sight when it was asked for. */
export interface JobAsGiven extends Job {
  pictures?: Partial<Record<PictureName, string[]>>;
}

interface KnownPicture {
  stamp: string;
  asked: Promise<string[]>;
  /** Once they have come. */
  pages?: string[];
}

export class Server {
  private pictures = new Map<PictureName, KnownPicture>();
  /** How often each drawing is in sight. */
  private readonly sight = new Map<PictureName, number>();

  constructor(
    private readonly key: string,
    private readonly ask: typeof fetch = (input, init) => fetch(input, init),
  ) {}

  /** The job, and the drawings in sight; where only a proof has come since, those that rest on it. */
  job(onlyProof = false): Promise<Job> {
    return this.get<JobAsGiven>(this.drawing("/api/job", { onlyProof })).then((job) => this.put(job));
  }

  /** Answers when the files are other ones, or when a proof has come since. */
  changed(stamp: string, worked: number, signal: AbortSignal): Promise<Seen> {
    return this.get(`/api/changed?stamp=${encodeURIComponent(stamp)}&worked=${worked}`, signal);
  }

  /** The pages of a drawing; one that stands on the page twice is asked for once. */
  picture(name: PictureName, stamp: string): Promise<string[]> {
    const known = this.pictures.get(name);
    if (known?.stamp === stamp) return known.asked;
    const asked = this.get<{ pages: string[] }>(`/api/picture/${name}`).then((given) => given.pages);
    const own: KnownPicture = { stamp, asked };
    this.pictures.set(name, own);
    asked.then(
      (pages) => {
        own.pages = pages;
      },
      // What failed is asked again.
      () => {
        if (this.pictures.get(name) === own) this.pictures.delete(name);
      },
    );
    return asked;
  }

  /** The pages of a drawing, where they are here already. */
  pictureHere(name: PictureName, stamp: string): string[] | undefined {
    const known = this.pictures.get(name);
    return known?.stamp === stamp ? known.pages : undefined;
  }

  /** Until what comes back is called a drawing is in sight: it is asked for together with each change of the job. */
  inSight(name: PictureName): () => void {
    const count = (by: number) => this.sight.set(name, (this.sight.get(name) ?? 0) + by);
    count(1);
    return () => count(-1);
  }

  /** The address, with the drawings in sight and with the job that is shown already. */
  private drawing(path: string, { onlyProof = false, shown = null }: { onlyProof?: boolean; shown?: Job | null } = {}): string {
    const names = [...this.sight].filter(([name, count]) => count > 0 && (!onlyProof || ON_PROOF.includes(name))).map(([name]) => name);
    const said = [
      names.length > 0 && `draw=${names.join(",")}`,
      shown && `shown=${encodeURIComponent(shown.stamp)}&working=${(shown.working ?? []).join(",")}`,
    ].filter(Boolean);
    return said.length > 0 ? `${path}?${said.join("&")}` : path;
  }

  /** The job itself; the drawings that came with it are kept, as it is what is shown from now on. */
  put({ pictures, ...job }: JobAsGiven): Job {
    for (const [name, pages] of Object.entries(pictures ?? {}) as [PictureName, string[]][]) {
      this.pictures.set(name, { stamp: pictureStamp(job, name), asked: Promise.resolve(pages), pages });
    }
    return job;
  }

  /** What comes back puts the drawings back that are kept now. */
  drawingsOfNow(): () => void {
    const now = new Map(this.pictures);
    return () => {
      this.pictures = now;
    };
  }

  /** Asks for what changes the job, which is answered with the job after it, and the drawings in sight with it. */
  change(path: string, body: object): Promise<Job> {
    return this.post<JobAsGiven>(this.drawing(path), body).then((job) => this.put(job));
  }

  keys(): Promise<Keys> {
    return this.get("/api/keys");
  }

  measure(): Promise<Measured> {
    return this.get("/api/measure");
  }

  /** Whether what is typed lies outside what all else says, and what may have been meant. */
  slip(of: SlipOf, text: string, signal: AbortSignal): Promise<Slip> {
    return this.post("/api/measure/slip", { ...of, text }, signal);
  }

  folding(signal: AbortSignal): Promise<{ folding: Folding | null }> {
    return this.get("/api/folding", signal);
  }

  /** The part at a fold (0: flat) and a share of it, from one side. */
  async foldingPicture(step: number, share: number, view: string, signal: AbortSignal): Promise<string[]> {
    const at = `step=${step}&share=${share}&view=${view}`;
    return (await this.get<{ pages: string[] }>(`/api/picture/folding?${at}`, signal)).pages;
  }

  held(signal: AbortSignal): Promise<{ held: Held | null }> {
    return this.get("/api/held", signal);
  }

  loadKinds(signal: AbortSignal): Promise<{ kinds: LoadKind[] }> {
    return this.get("/api/load-kinds", signal);
  }

  /** What a size is understood as for a kind of load, or as the height of a fall. */
  loadUnderstood(kind: string, text: string, signal: AbortSignal): Promise<Echo> {
    return this.get(`/api/load-understood?kind=${kind}&text=${encodeURIComponent(text)}`, signal);
  }

  /** What would help, with each change in words; it takes seconds, and ends when the signal says so. */
  helps(signal: AbortSignal): Promise<{ helps: Helps | null; said: string[][] }> {
    return this.get("/api/helps", signal);
  }

  /** What acts would come to; nothing is written. */
  tried(file: FileName, acts: Act[], base: string, signal: AbortSignal): Promise<{ answers: Answers }> {
    return this.post("/api/try", { file, acts, base }, signal);
  }

  /** The job after the acts; nothing where it is as it is `shown` already. */
  async act(file: FileName, acts: Act[], says: string, base: string, shown: Job | null = null): Promise<Job | null> {
    const job = await this.post<JobAsGiven | null>(this.drawing("/api/act", { shown }), { file, acts, says, base });
    return job && this.put(job);
  }

  /** The job as it is told once these acts are done, and the drawings in sight with it; none where they change nothing. Nothing is written. */
  async ahead(file: FileName, acts: Act[], says: string, base: string, upto: Upto, signal: AbortSignal): Promise<JobAsGiven | null> {
    const asked = { file, acts, says, base, upto };
    return (await this.post<{ job: JobAsGiven | null }>(this.drawing("/api/ahead"), asked, signal)).job;
  }

  undo(base: string): Promise<Job> {
    return this.change("/api/undo", { base });
  }

  redo(base: string): Promise<Job> {
    return this.change("/api/redo", { base });
  }

  understood(file: FileName, way: Way, text: string, signal?: AbortSignal): Promise<Echo> {
    return this.post("/api/understood", { file, way, text }, signal);
  }

  get<T>(path: string, signal?: AbortSignal): Promise<T> {
    return this.send(path, { headers: { "x-gusset-key": this.key }, signal });
  }

  post<T>(path: string, body: unknown, signal?: AbortSignal): Promise<T> {
    const headers = { "x-gusset-key": this.key, "content-type": "application/json" };
    return this.send(path, { method: "POST", headers, body: JSON.stringify(body), signal });
  }

  /** A file as it is. */
  async file(path: string): Promise<Blob> {
    const response = await this.ask(path, { headers: { "x-gusset-key": this.key } });
    if (response.ok) return response.blob();
    throw notDone(response.status, await response.text());
  }

  private async send<T>(path: string, init: RequestInit): Promise<T> {
    const response = await this.ask(path, init);
    const text = await response.text();
    if (response.ok) return JSON.parse(text) as T;
    throw notDone(response.status, text);
  }
}

/** What the server said of it, and where. */
function notDone(status: number, text: string): NotDone {
  let says = text;
  let wrong: WrongRow[] = [];
  try {
    const said = JSON.parse(text) as { error?: string; wrong?: WrongRow[] };
    says = said.error ?? text;
    wrong = said.wrong ?? [];
  } catch {
    // A refusal is plain text.
  }
  return new NotDone(status, says, wrong);
}
