/** Rehearses parts of a rehearsal on a thread of its own, and tells what each part counted. */
import { parentPort, workerData } from "node:worker_threads";
import type { Procedure } from "../../engine/procedure/model.ts";
import { bulkProcedure } from "../../engine/reasoning/bulk-procedure.ts";
import { type RehearsalSetting, rehearsal } from "../../engine/reasoning/rehearse.ts";

/** What the worker is started with: plain data, as it crosses. */
export interface WorkerTask {
  readonly procedure: Procedure;
  readonly setting: RehearsalSetting;
}

/** Runs `from` up to, not including, `to`. */
export interface Part {
  readonly from: number;
  readonly to: number;
}

const { procedure, setting } = workerData as WorkerTask;
const bulk = bulkProcedure(procedure);

parentPort?.on("message", ({ from, to }: Part) => {
  const rehearsed = rehearsal(bulk, setting);
  rehearsed.run(from, to);
  parentPort?.postMessage(rehearsed.counts);
});
