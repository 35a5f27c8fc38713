/** The job on the page: as the server last told it, what is under way, and what went wrong. */

import { useCallback, useEffect, useRef, useState } from "preact/hooks";
import { difference } from "./difference";
import { keptSame } from "./kept_same";
import { ASK_AGAIN_MS, type JobAsGiven, NotDone, type Seen, Server } from "./server";
import { secondPressMs } from "./settings";
import type { Act, FileName, Job } from "./types";

/** While an act is under way, a change is looked at again after so long, ms. */
const LOOK_AGAIN_MS = 200;
/** An act that takes longer than this is shown to be under way; a shorter one would only make the page flicker. */
const SHOWN_AFTER_MS = 120;

/** What went wrong; a server that is silent is no longer told once it answers. */
export interface Trouble {
  kind: "refused" | "silent";
  says: string;
}

/** What may be done next, and the job as it will be told then, as far as it has come. */
interface Coming {
  said: string;
  base: string;
  stop: AbortController;
  job: JobAsGiven | null;
}

/** Asks for what changes the texts of `base`, and gives the job after it; nothing where that is what is `shown` already. */
type Ask = (base: string, shown: Job | null) => Promise<Job | null>;

export interface Desk {
  server: Server;
  job: Job | null;
  /** An act has been under way for longer than a blink. */
  busy: boolean;
  /** The job is shown as it is after an act that is still being written. */
  writing: boolean;
  /** What was last done, and what it did to the answers; read out. */
  told: string;
  trouble: Trouble | null;
  /** Does what changes the job, and shows the job as it is after it. */
  send(ask: (base: string) => Promise<Job>, says: string): Promise<boolean>;
  act(file: FileName, acts: Act[], says: string): Promise<boolean>;
  /** Has worked out what these acts would come to, so that it is shown as soon as they are done. Nothing is written. */
  ahead(file: FileName, acts: Act[], says: string): void;
  undo(): Promise<boolean>;
  redo(): Promise<boolean>;
}

export function troubleOf(error: unknown): Trouble {
  if (error instanceof NotDone) {
    const more = error.wrong.map((wrong) => `line ${wrong.line ?? "?"}: ${wrong.says}`);
    return { kind: "refused", says: [error.message, ...more].join("; ") };
  }
  return {
    kind: "silent",
    says: "The program does not answer. Is gusset bench still running? Nothing typed here is lost.",
  };
}

/** That something is still to come is no longer so once it has. */
const STILL = /\S+ is being worked out\./g;

/** Whether the texts are the same, and what was being worked out has come. */
function isWorked(before: Job, next: Job): boolean {
  return (before.working ?? []).length > (next.working ?? []).length;
}

/** Whether the server has something else than is shown. */
function isOther(seen: Seen, shown: Job | null): boolean {
  return !shown || seen.stamp !== shown.stamp || seen.worked !== (shown.worked ?? 0);
}

/** An act in words that tell it from every other. */
function saidOf(file: FileName, acts: Act[], says: string): string {
  return JSON.stringify([file, acts, says]);
}

export function useDesk(server: Server): Desk {
  const [job, setJob] = useState<Job | null>(null);
  const [busy, setBusy] = useState(false);
  const [writing, setWriting] = useState(false);
  const [told, setTold] = useState("");
  const [trouble, setTrouble] = useState<Trouble | null>(null);
  const latest = useRef<Job | null>(null);
  /** Acts under way: what changes meanwhile is told by their own answers. */
  const sending = useRef(0);
  /** The act that was asked for last, until it is done. */
  const underWay = useRef<{ said: string; done: Promise<boolean> } | null>(null);
  /** Acts are done one after another: each is meant for what the one before left. */
  const line = useRef<Promise<unknown>>(Promise.resolve());
  /** What was asked for ahead last. */
  const coming = useRef<Coming | null>(null);
  /** What is to be asked for ahead once no act is under way: it is meant for what they leave. */
  const later = useRef<(() => void) | null>(null);

  /** What the last act was told to have done, before its proof came. */
  const acted = useRef("");

  const take = useCallback((came: Job, says: string) => {
    const before = latest.current;
    const next = keptSame(before, came);
    latest.current = next;
    setJob(next);
    if (before && before.stamp === next.stamp) {
      // What was shown already when it was done is told already.
      if (isWorked(before, next)) setTold(`${acted.current} Worked out. ${difference(before, next)}`.trim());
      return;
    }
    const told = before ? `${says}. ${difference(before, next)}` : "";
    acted.current = told.replace(STILL, "").trim();
    setTold(told);
  }, []);
  /** The job as it was before an act that was shown as done and then was not. */
  const putBack = useCallback((before: Job) => {
    latest.current = before;
    setJob(before);
    acted.current = "";
    setTold("");
  }, []);

  const one = useCallback(
    async (ask: Ask, says: string, said: string) => {
      const before = latest.current;
      if (!before) return false;
      const foreseen = coming.current?.said === said && coming.current.base === before.stamp ? coming.current.job : null;
      const shown = setTimeout(() => setBusy(true), SHOWN_AFTER_MS);
      setTrouble(null);
      const drawingsBack = server.drawingsOfNow();
      if (foreseen) {
        setWriting(true);
        take(server.put(foreseen), says);
      }
      try {
        const came = await ask(before.stamp, foreseen && latest.current);
        if (came) take(came, says);
        return true;
      } catch (error) {
        if (foreseen) {
          drawingsBack();
          putBack(before);
        }
        setTrouble(troubleOf(error));
        if (error instanceof NotDone && error.stale) take(await server.job(), "Changed outside");
        return false;
      } finally {
        clearTimeout(shown);
        setBusy(false);
        setWriting(false);
      }
    },
    [server, take, putBack],
  );
  const inLine = useCallback(
    (ask: Ask, says: string, said: string) => {
      sending.current += 1;
      // The first in line is done at once: the picture of it is to be painted with the press.
      const turn = sending.current === 1 ? one(ask, says, said) : line.current.then(() => one(ask, says, said));
      const done = turn.finally(() => {
        sending.current -= 1;
        if (sending.current === 0) later.current?.();
      });
      line.current = done.catch(() => undefined);
      return done;
    },
    [one],
  );
  const send = useCallback((ask: (base: string) => Promise<Job>, says: string) => inLine(ask, says, ""), [inLine]);

  useEffect(() => {
    const stop = new AbortController();
    const follow = async () => {
      while (!stop.signal.aborted) {
        try {
          const known = latest.current;
          if (!known) {
            take(await server.job(), "Opened");
            continue;
          }
          const seen = await server.changed(known.stamp, known.worked ?? 0, stop.signal);
          if (sending.current > 0) {
            await new Promise((done) => setTimeout(done, LOOK_AGAIN_MS));
          } else if (seen.changed && isOther(seen, latest.current)) {
            take(await server.job(seen.stamp === latest.current?.stamp), "Changed outside");
          }
          setTrouble((trouble) => (trouble?.kind === "silent" ? null : trouble));
        } catch (error) {
          if (stop.signal.aborted) return;
          setTrouble(troubleOf(error));
          await new Promise((done) => setTimeout(done, ASK_AGAIN_MS));
        }
      }
    };
    void follow();
    return () => stop.abort();
  }, [server, take]);

  const act = useCallback(
    (file: FileName, acts: Act[], says: string) => {
      // A hand that shakes presses twice: the same act, asked for again before it is done, is one.
      const said = saidOf(file, acts, says);
      if (underWay.current?.said === said) return underWay.current.done;
      const done = inLine((base, shown) => server.act(file, acts, says, base, shown), says, said);
      const own = { said, done };
      underWay.current = own;
      const over = () => {
        if (underWay.current === own) underWay.current = null;
      };
      done.then(over, over);
      return done;
    },
    [inLine, server],
  );
  const ahead = useCallback(
    (file: FileName, acts: Act[], says: string) => {
      later.current = sending.current > 0 ? () => ahead(file, acts, says) : null;
      const base = latest.current?.stamp;
      if (base === undefined || later.current) return;
      const said = saidOf(file, acts, says);
      if (coming.current?.said === said && coming.current.base === base) return;
      coming.current?.stop.abort();
      const own: Coming = { said, base, stop: new AbortController(), job: null };
      coming.current = own;
      const look = async () => {
        own.job = await server.ahead(file, acts, says, base, "bend", own.stop.signal);
        const isWhole = !own.job || (own.job.working ?? []).length === 0;
        if (!isWhole) own.job = (await server.ahead(file, acts, says, base, "hold", own.stop.signal)) ?? own.job;
      };
      // It only saves time: what is wrong with it is told when it is done.
      look().catch(() => undefined);
    },
    [server],
  );
  const undo = useCallback(
    () => send((base) => server.undo(base), `Taken back: ${latest.current?.undo ?? ""}`),
    [send, server],
  );
  const redo = useCallback(
    () => send((base) => server.redo(base), `Done again: ${latest.current?.redo ?? ""}`),
    [send, server],
  );
  return { server, job, busy, writing, told, trouble, send, act, ahead, undo, redo };
}

/** Does a thing once for each press, and not again right after it, also where the page was drawn anew between two presses. */
export function useOnce(act: () => void): () => void {
  const last = useRef(Number.NEGATIVE_INFINITY);
  const latest = useRef(act);
  latest.current = act;
  return useCallback(() => {
    const now = performance.now();
    if (now - last.current < secondPressMs()) return;
    last.current = now;
    latest.current();
  }, []);
}
