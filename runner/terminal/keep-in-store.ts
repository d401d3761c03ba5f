import { readFileSync } from "node:fs";
import { openIntake } from "../server/intake.ts";
import { isRefusal } from "../server/refusal.ts";
import { openTrees } from "../server/trees.ts";
import { openSqliteStore } from "../store/sqlite-store.ts";
import { TREES } from "./folders.ts";
import type { Output } from "./output.ts";
import { readRecord } from "./record-file.ts";

/** Puts a run's record into the shop's store, as the server does with those it is sent. */
export async function keepInStore(recordFile: string, data: string, output: Output): Promise<void> {
  const record = readRecord(recordFile);
  const run = record.ok ? record.value[0]?.run : undefined;
  const opened = openSqliteStore(data);
  if (run === undefined || !opened.ok) {
    output.warn(`The run is kept in ${recordFile}; the shop's store in ${data} could not be opened.`);
    return;
  }
  const intake = openIntake(opened.store, openTrees(TREES));
  const texts = readFileSync(recordFile, "utf8")
    .split("\n")
    .filter((line) => line !== "");
  const accepted = await intake.accept(run, texts);
  if (isRefusal(accepted)) output.warn(`The shop's store did not take the run: ${accepted.problem.message}`);
  await opened.store.close();
}
