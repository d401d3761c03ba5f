/** The command that goes on with a run, ready to be typed or pasted. */
import { basename, relative } from "node:path";

/** With the options that matter, in the words by which the program was called. */
export function resumeCommand(file: string, record: string, data: string | undefined): string {
  const options = ["run", file, "--record", record, ...(data === undefined ? [] : ["--data", data])];
  return [programName(), ...options.map(quoted)].join(" ");
}

function programName(): string {
  const script = process.argv[1] ?? "";
  if (basename(script) === "bin.js") return `node ${quoted(relative(process.cwd(), script))}`;
  return process.env.npm_command === "exec" ? "npx probewright" : "probewright";
}

/** Quoted for a POSIX shell where it has to be. */
function quoted(text: string): string {
  return /^[\w@%+=:,./-]+$/.test(text) ? text : `'${text.replaceAll("'", "'\\''")}'`;
}
