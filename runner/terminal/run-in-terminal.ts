/** A run asked in a terminal: opened or gone on with, talked through, kept in the shop's store. */
import { writeLine } from "../../engine/machine/record.ts";
import type { Run } from "../../engine/machine/run.ts";
import type { Procedure } from "../../engine/procedure/model.ts";
import { type Asker, Left } from "./asker.ts";
import { inquirerAsker } from "./inquirer-asker.ts";
import { keepInStore } from "./keep-in-store.ts";
import { layOver, loadUsable, onlySheet, type UsableFile } from "./load-file.ts";
import { type Job, openJob, recordedEquipment } from "./open-job.ts";
import { failUsage, type Output } from "./output.ts";
import { plainAsker } from "./plain-asker.ts";
import { readRecord } from "./record-file.ts";
import { resumeCommand } from "./resume-command.ts";
import type { RunOptions } from "./run-command.ts";
import { openScreen, type Screen } from "./screen.ts";
import { resultLines } from "./show-result.ts";
import { talk } from "./talk.ts";
import { type Outcome, unusable } from "./usage-error.ts";

const LEAVING = ["SIGINT", "SIGTERM", "SIGHUP"] as const;

/** The exit code of `run`; 2 where the technician left before the end, with the command that goes on. */
export async function runInTerminal(file: string, options: RunOptions, output: Output): Promise<number> {
  const usable = loadUsable(file, output);
  if (!usable.ok) return failUsage(output, usable.error, false);
  const screen = openScreen();
  const leaving = new AbortController();
  const leave = () => leaving.abort();
  for (const signal of LEAVING) process.on(signal, leave);
  const asker = screen.moves ? inquirerAsker(screen, leaving.signal) : plainAsker(screen, leaving.signal);
  try {
    const procedure = await procedureOf(usable.value, file, options, { screen, asker });
    if (!procedure.ok) return failUsage(output, procedure.error, false);
    const job = openJob(procedure.value, options.record, options.data);
    if (!job.ok) return failUsage(output, job.error, false);
    return await walk(procedure.value, job.value, file, options, output, { screen, asker });
  } catch (thrown) {
    if (thrown instanceof Left) return 2;
    throw thrown;
  } finally {
    asker.close();
    for (const signal of LEAVING) process.off(signal, leave);
  }
}

interface Terminal {
  readonly screen: Screen;
  readonly asker: Asker;
}

async function walk(
  procedure: Procedure,
  job: Job,
  file: string,
  options: RunOptions,
  output: Output,
  terminal: Terminal,
): Promise<number> {
  const { screen } = terminal;
  const { record } = job;
  const { run, closed } = await talk(procedure, job, terminal);
  record.close();
  await keep(run, record.file, file, options.data, output);
  if (!closed) {
    const command = resumeCommand(file, record.file, options.dataSaid ? options.data : undefined);
    screen.show(["", "Nothing is lost. Go on later with:"]);
    // On one row of its own, whatever its width: it is there to be copied.
    output.line(`  ${command}`);
    return 2;
  }
  screen.gap();
  screen.show(resultLines(procedure, run));
  screen.gap();
  output.line(`Record: ${record.file}`);
  return run.end === "unresolved" ? 1 : 0;
}

async function keep(run: Run, record: string, file: string, data: string, output: Output): Promise<void> {
  const lines = readRecord(record);
  if (lines.ok) await keepInStore(run.opening.run, lines.value.map(writeLine), file, data, output);
}

/** The procedure with its sheet: the record's, the one named, the only one, or the one the technician says. */
async function procedureOf(
  usable: UsableFile,
  file: string,
  { record, equipment }: RunOptions,
  { screen, asker }: Terminal,
): Promise<Outcome<Procedure>> {
  const recorded = record === undefined ? undefined : recordedEquipment(record);
  if (recorded !== undefined) {
    if (equipment !== undefined && equipment !== recorded.equipment)
      return unusable({
        code: "other-equipment",
        message: `This run was begun with ${recorded.equipment ?? "no equipment sheet"}, not with ${equipment}.`,
        file: record ?? file,
      });
    return layOver(usable, recorded.equipment, file);
  }
  const named = equipment ?? onlySheet(usable);
  if (named !== undefined || usable.sheets.length === 0) return layOver(usable, named, file);
  screen.head("Which one is it?");
  screen.gap();
  const value = await asker.choose([
    ...usable.sheets.map((sheet) => ({ name: sheet.title, value: sheet.id })),
    { name: "Another", value: "" },
  ]);
  return layOver(usable, value === "" ? undefined : value, file);
}
