import { dirname } from "node:path";
import { openIntake } from "../server/intake.ts";
import { isRefusal } from "../server/refusal.ts";
import { openTrees } from "../server/trees.ts";
import { DamagedStore } from "../store/damaged-store.ts";
import { openSqliteStore } from "../store/sqlite-store.ts";
import type { Output } from "./output.ts";

/**
 * Puts a run's lines into the shop's store, as the server does with those it is sent; `file` is its procedure's.
 * A store that can't be had is said and no more: the record is the run, and brings it in the next time.
 */
export async function keepInStore(
  run: string,
  lines: readonly string[],
  file: string,
  data: string,
  output: Output,
): Promise<void> {
  const missed = (why: string) => output.warn(`The shop's store in ${data} did not take this run: ${why}`);
  const opened = openSqliteStore(data);
  if (!opened.ok) return missed(opened.problem.message);
  try {
    const intake = openIntake(opened.store, openTrees(dirname(file)));
    const accepted = await intake.accept(run, lines);
    if (isRefusal(accepted)) missed(accepted.problem.message);
  } catch (thrown) {
    if (thrown instanceof DamagedStore) missed(thrown.message);
    else missed("another program is writing to it. Going on with the record brings it in.");
  } finally {
    await opened.store.close();
  }
}
