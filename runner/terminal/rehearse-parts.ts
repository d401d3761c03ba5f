/** A rehearsal in parts, on this thread or on several: counted the same, and given up between two parts. */
import { availableParallelism } from "node:os";
import { setImmediate } from "node:timers/promises";
import { Worker } from "node:worker_threads";
import type { Procedure } from "../../engine/procedure/model.ts";
import { bulkProcedure } from "../../engine/reasoning/bulk-procedure.ts";
import { addCounts, emptyCounts, type RehearsalCounts } from "../../engine/reasoning/rehearsal-counts.ts";
import { type RehearsalSetting, rehearsal } from "../../engine/reasoning/rehearse.ts";
import type { Part, WorkerTask } from "./rehearse-worker.ts";

export interface InParts {
  readonly runs: number;
  readonly workers: number;
  /** Called after each part with the runs counted so far. */
  readonly onPart: (runs: number) => void;
  /** Once aborted, no further part is begun. */
  readonly signal: AbortSignal;
}

/** Runs between two words on how far it has come: a tenth of a second or so. */
const PART = 20_000;
/** Fewer runs are done before a second thread has started. */
const WORTH_A_WORKER = 200_000;

/** More threads than any machine has cores only cost memory. */
const MOST_WORKERS = 64;

/** How many workers so many runs are worth on this machine. */
export function workersFor(runs: number): number {
  return Math.max(1, Math.min(8, availableParallelism(), Math.floor(runs / WORTH_A_WORKER)));
}

/** The counts of all parts that were rehearsed: of every run, unless it was given up. */
export async function rehearseInParts(
  procedure: Procedure,
  setting: RehearsalSetting,
  { runs, workers, onPart, signal }: InParts,
): Promise<RehearsalCounts> {
  const counts = emptyCounts(bulkProcedure(procedure));
  const parts = partsOf(runs);
  const take = (part: RehearsalCounts) => {
    addCounts(counts, part);
    onPart(counts.runs);
  };
  if (workers < 2) await hereInParts(procedure, setting, parts, signal, take);
  else
    await Promise.all(
      Array.from({ length: Math.min(workers, MOST_WORKERS) }, () =>
        onWorker({ procedure, setting }, parts, signal, take),
      ),
    );
  return counts;
}

function* partsOf(runs: number): Generator<Part> {
  for (let from = 0; from < runs; from += PART) yield { from, to: Math.min(runs, from + PART) };
}

async function hereInParts(
  procedure: Procedure,
  setting: RehearsalSetting,
  parts: Iterable<Part>,
  signal: AbortSignal,
  take: (counts: RehearsalCounts) => void,
): Promise<void> {
  const bulk = bulkProcedure(procedure);
  for (const { from, to } of parts) {
    if (signal.aborted) return;
    const rehearsed = rehearsal(bulk, setting);
    rehearsed.run(from, to);
    take(rehearsed.counts);
    // A key or signal that came meanwhile is seen to here.
    await setImmediate();
  }
}

/** The next part is taken by whichever worker is free: which one that is makes no difference to the counts. */
function onWorker(
  task: WorkerTask,
  parts: Iterator<Part>,
  signal: AbortSignal,
  take: (counts: RehearsalCounts) => void,
): Promise<void> {
  return new Promise((resolve, reject) => {
    const worker = new Worker(new URL("./rehearse-worker.js", import.meta.url), { workerData: task });
    const next = () => {
      const part = signal.aborted ? undefined : parts.next();
      if (part !== undefined && part.done !== true) worker.postMessage(part.value);
      else void worker.terminate().then(() => resolve());
    };
    worker.on("message", (counts: RehearsalCounts) => {
      take(counts);
      next();
    });
    worker.on("error", reject);
    next();
  });
}
