/** The command line: `probewright` with its commands, by the contract of the design. */
import { Command, CommanderError, InvalidArgumentError } from "commander";
import { DamagedStore } from "../store/damaged-store.ts";
import { APP } from "../wire/app-name.ts";
import { DATA } from "./folders.ts";
import { failUsage, processOutput as output } from "./output.ts";

const NO_COMMAND = "Say what to do: probewright --help tells what there is.";

/** Runs one command and sets the process's exit code: 0 good, 1 findings or unresolved, 2 unusable. */
export async function main(argv: readonly string[]): Promise<void> {
  // A reader that goes away (as `head` does) or a terminal that is shut is no error of ours, and no reason for a
  // server to end.
  for (const stream of [process.stdout, process.stderr])
    stream.on("error", (error: NodeJS.ErrnoException) => {
      if (error.code !== "EPIPE" && error.code !== "EIO") throw error;
    });
  const asJson = argv.includes("--json");
  let exitCode = 0;
  const done = async (code: number | Promise<number>) => {
    exitCode = await code;
  };
  try {
    if (argv.slice(2).every((word) => word === "--json"))
      throw new CommanderError(2, "no-command", NO_COMMAND);
    await program(done, asJson).parseAsync([...argv]);
  } catch (thrown) {
    if (thrown instanceof CommanderError) exitCode = afterCommander(thrown, asJson);
    else if (thrown instanceof DamagedStore)
      exitCode = failUsage(output, { code: thrown.code, message: thrown.message }, asJson);
    else exitCode = failUsage(output, { code: "internal", message: internalReason(thrown) }, asJson);
  }
  process.exitCode = exitCode;
}

function afterCommander(thrown: CommanderError, asJson: boolean): number {
  if (thrown.exitCode === 0) return 0;
  const message = thrown.message.replace(/^error: /, "");
  return failUsage(output, { code: "usage", message: message.split("\n").join(" ") }, asJson);
}

function internalReason(thrown: unknown): string {
  const reason = thrown instanceof Error ? thrown.message : String(thrown);
  return `Something went wrong in the program itself: ${reason}. Nothing of yours was changed.`;
}

type Done = (code: number | Promise<number>) => Promise<void>;

/** Each command is loaded when it is called: proving a file needs no server. */
function program(done: Done, asJson: boolean): Command {
  const quiet = {
    writeErr: () => undefined,
    // Help and version, too, are one JSON value where that was asked for.
    writeOut: (text: string) => (asJson ? output.json({ text }) : process.stdout.write(text)),
  };
  const root = new Command("probewright")
    .description("Guided fault isolation: write a procedure, prove it, walk it, count it.")
    .version(APP, "--version", "what this is, with its version")
    .exitOverride()
    .configureOutput(quiet);
  const add = (name: string, description: string) =>
    root
      .command(name)
      .description(description)
      .option("--json", "one JSON value on standard output")
      .exitOverride()
      .configureOutput(quiet);

  add("check <path...>", "prove procedures: schema, names, branches, ends, evidence, safety")
    .option("--as <form>", "sarif, the open standard for code review")
    .option("--witness-to <dir>", "write each finding's way as an answers file for run --answers")
    .action(async (paths: string[], options) =>
      done((await import("./check-command.ts")).checkCommand(paths, options, output)),
    );
  add("explain <code>", "what a finding means, and how to mend it").action(async (code: string, options) =>
    done((await import("./explain-command.ts")).explainCommand(code, options, output)),
  );
  add("run <file>", "walk a procedure to the fault")
    .option("--equipment <id>", "the equipment sheet that applies")
    .option("--answers <file>", "answers written beforehand, so that nothing is asked")
    .option("--record <file>", "the run record to write, or to go on with")
    .option("--data <dir>", "the shop's store", DATA)
    .action(async (file: string, options, command: Command) => {
      const dataSaid = command.getOptionValueSource("data") === "cli";
      await done((await import("./run-command.ts")).runCommand(file, { ...options, dataSaid }, output));
    });
  add("draw <file>", "the procedure drawn")
    .option("--as <form>", "mermaid", "mermaid")
    .action(async (file: string, options) =>
      done((await import("./draw-command.ts")).drawCommand(file, options, output)),
    );
  add("rehearse <file>", "random faults and readings walked through a procedure")
    .option("--equipment <id>", "the equipment sheet that applies")
    .option("--runs <n>", "how many runs", wholeNumber, 10_000)
    .option("--seed <s>", "the same seed, the same runs", wholeNumber, 1)
    .option("--slips <share>", "how often one answer is taken for another, 0 to 1", fraction, 0)
    .option("--workers <n>", "threads; the counts are the same for any number", wholeNumber)
    .action(async (file: string, options) =>
      done(await (await import("./rehearse-command.ts")).rehearseCommand(file, options, output)),
    );
  add("plan <file>", "the best order of the same steps against the written one")
    .option("--equipment <id>", "the equipment sheet that applies")
    .option("--write <file>", "the best order as a procedure of its own")
    .action(async (file: string, options) =>
      done((await import("./plan-command.ts")).planCommand(file, options, output)),
    );
  add("serve", "the apps and the shop's store, on this machine")
    .option("--port <n>", "the port; left out, 4173 or any free one", port)
    .option("--data <dir>", "the shop's store", DATA)
    .option("--trees <dir>", "the procedures")
    .action(async (options) => done((await import("./serve-command.ts")).serveCommand(options, output)));
  add("audit", "how often each branch was taken, and how long it took")
    .option("--data <dir>", "the shop's store", DATA)
    .option("--procedure <id>", "only this procedure")
    .option("--trees <dir>", "the procedures")
    .option("--as <form>", "table or csv", "table")
    .action(async (options) => done((await import("./audit-command.ts")).auditCommand(options, output)));
  add(
    "learn <file>",
    "what verified runs say about a procedure's priors and evidence; changes nothing by itself",
  )
    .option("--data <dir>", "the shop's store", DATA)
    .option("--strength <n>", "how many runs the written numbers count as, from 1", strength, 20)
    .option("--write <file>", "a new file with the learned numbers in place")
    .action(async (file: string, options) =>
      done((await import("./learn-command.ts")).learnCommand(file, options, output)),
    );
  add("replay <record>", "prove a run record's chain, and walk it again on its procedure")
    .option("--procedure <file>", "the procedure it was made with")
    .action(async (record: string, options) =>
      done((await import("./replay-command.ts")).replayCommand(record, options, output)),
    );
  add("new <id>", "a sound, commented procedure to start from")
    .option("--into <dir>", "the folder to write into", ".")
    .action(async (id: string, options) =>
      done((await import("./new-command.ts")).newCommand(id, options, output)),
    );
  return root;
}

function port(text: string): number {
  const value = Number(text);
  if (!Number.isInteger(value) || value < 0 || value > 65535)
    throw new InvalidArgumentError("a port is a whole number from 0 to 65535.");
  return value;
}

function wholeNumber(text: string): number {
  const value = Number(text);
  if (!Number.isSafeInteger(value) || value < 0 || value > 100_000_000)
    throw new InvalidArgumentError("a whole number from 0 to 100000000 is needed.");
  return value;
}

/** With 0 the author's numbers would count for nothing, and what no run has shown yet would be ruled out. */
function strength(text: string): number {
  const value = Number(text);
  if (!Number.isSafeInteger(value) || value < 1 || value > 100_000_000)
    throw new InvalidArgumentError("a whole number from 1 to 100000000 is needed.");
  return value;
}

function fraction(text: string): number {
  const value = Number(text);
  if (!(value >= 0 && value <= 1)) throw new InvalidArgumentError("a number from 0 to 1 is needed.");
  return value;
}
