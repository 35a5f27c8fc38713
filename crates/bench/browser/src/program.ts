/** The program, run on a copy of a job of its own. */

import { type ChildProcess, spawn } from "node:child_process";
import { cp, mkdtemp, rm } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join, resolve } from "node:path";
import { createInterface } from "node:readline";

const ROOT = resolve(import.meta.dirname, "../../../..");
const EXAMPLES = process.env.GUSSET_EXAMPLES ?? join(ROOT, "examples");
/** The program under test; the one that `cargo build` makes unless it is said. */
const PROGRAM = process.env.GUSSET_PROGRAM ?? join(ROOT, "target/debug/gusset");

/** A server that runs, and the folder that it works on. */
export class Running {
  private constructor(
    readonly address: string,
    readonly folder: string,
    private readonly child: ChildProcess,
    private readonly parent: string,
  ) {}

  /** On a copy of an example; with none, on a folder that is not there yet. */
  static async on(example?: string): Promise<Running> {
    const parent = await mkdtemp(join(tmpdir(), "gusset-browser-"));
    const folder = join(parent, example ?? "new-job");
    if (example) await cp(join(EXAMPLES, example), folder, { recursive: true });
    const { child, address } = await answering(folder);
    return new Running(address, folder, child, parent);
  }

  /** The same folder, by another run of the program. */
  async again(): Promise<Running> {
    await ended(this.child);
    const { child, address } = await answering(this.folder);
    return new Running(address, this.folder, child, this.parent);
  }

  async stop(): Promise<void> {
    await ended(this.child);
    await rm(this.parent, { recursive: true, force: true });
  }
}

async function answering(folder: string): Promise<{ child: ChildProcess; address: string }> {
  const child = spawn(PROGRAM, ["bench", folder, "--no-browser"], { stdio: ["ignore", "pipe", "pipe"] });
  let said = "";
  child.stderr.on("data", (bytes: Buffer) => {
    said += bytes.toString();
  });
  const address = await new Promise<string>((done, failed) => {
    createInterface({ input: child.stdout }).once("line", done);
    child.once("error", failed);
    child.once("exit", (code) => failed(new Error(`the program ended with ${code}: ${said}`)));
  });
  return { child, address };
}

async function ended(child: ChildProcess): Promise<void> {
  if (child.exitCode !== null || child.signalCode !== null) return;
  const gone = new Promise((done) => child.once("exit", done));
  child.kill("SIGKILL");
  await gone;
}
