/** Asking the server. */

import type { Keys } from "./forms/keys";
import type { Measured, Slip, SlipOf } from "./measure/measured";
import type { Act, FileName, Job, PictureName, Way, WrongRow } from "./types";

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

export class Server {
  constructor(
    private readonly key: string,
    private readonly ask: typeof fetch = (input, init) => fetch(input, init),
  ) {}

  job(): Promise<Job> {
    return this.get("/api/job");
  }

  changed(stamp: string, signal: AbortSignal): Promise<{ stamp: string; changed: boolean }> {
    return this.get(`/api/changed?stamp=${encodeURIComponent(stamp)}`, signal);
  }

  async picture(name: PictureName): Promise<string[]> {
    return (await this.get<{ pages: string[] }>(`/api/picture/${name}`)).pages;
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

  act(file: FileName, acts: Act[], says: string, base: string): Promise<Job> {
    return this.post("/api/act", { file, acts, says, base });
  }

  undo(base: string): Promise<Job> {
    return this.post("/api/undo", { base });
  }

  redo(base: string): Promise<Job> {
    return this.post("/api/redo", { base });
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
