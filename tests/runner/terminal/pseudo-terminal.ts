/** The built program in a real pseudo-terminal (util-linux's `script`), typed at as a technician does. */
import { type ChildProcess, spawn } from "node:child_process";
import { stripVTControlCharacters } from "node:util";
import { BIN } from "./program.ts";

export const ENTER = "\r";
export const CTRL_C = "\u0003";
const PATIENCE = 30_000;
/** A line end, or the cursor sent to a column (CSI n G of ECMA-48). */
// biome-ignore lint/suspicious/noControlCharactersInRegex: control characters are what is looked for
const ROW_ENDS = /[\r\n]|\u001b\[\d*G/;

export interface PseudoTerminal {
  /** Waits until the text stands after what was waited for before; gives what came in between. */
  see(text: string): Promise<string>;
  press(keys: string): void;
  /** The exit code, once the program has ended. */
  ended(): Promise<number | null>;
  /** Everything shown, without cursor moves and colours, spaces all of one kind. */
  text(): string;
  /** Everything shown, as it came. */
  raw(): string;
  /** Every row as it stood after each writing of it. */
  rows(): readonly string[];
  /** Ends what is left of it without a chance to tidy up. */
  kill(): void;
}

export interface Terminals {
  open(args: readonly string[], columns?: number, env?: Readonly<Record<string, string>>): PseudoTerminal;
  killAll(): void;
}

/** Terminals that end with the test file. */
export function terminals(): Terminals {
  const opened: PseudoTerminal[] = [];
  return {
    open: (args, columns = 80, env = {}) => {
      const one = open(args, columns, env);
      opened.push(one);
      return one;
    },
    killAll: () => {
      for (const one of opened) one.kill();
    },
  };
}

function open(
  args: readonly string[],
  columns: number,
  env: Readonly<Record<string, string>>,
): PseudoTerminal {
  const command = [process.execPath, BIN, ...args]
    .map((arg) => `'${arg.replaceAll("'", "'\\''")}'`)
    .join(" ");
  const child: ChildProcess = spawn(
    "script",
    ["-qefc", `stty cols ${columns} rows 40; exec ${command}`, "/dev/null"],
    {
      stdio: ["pipe", "pipe", "inherit"],
      // A group of its own, so that all of it can be ended.
      detached: true,
      env: { ...process.env, TERM: "xterm-256color", FORCE_COLOR: undefined, NO_COLOR: undefined, ...env },
    },
  );
  let raw = "";
  let seen = 0;
  let wake: () => void = () => undefined;
  child.stdout?.setEncoding("utf8").on("data", (chunk: string) => {
    raw += chunk;
    wake();
  });
  const exit = new Promise<number | null>((resolve) => child.once("close", (code) => resolve(code)));
  let gone = false;
  void exit.then(() => {
    gone = true;
    wake();
  });
  const text = () => stripVTControlCharacters(raw).replaceAll("\r", "").replaceAll("\u00a0", " ");

  const see = async (wanted: string): Promise<string> => {
    const until = performance.now() + PATIENCE;
    for (;;) {
      const at = text().indexOf(wanted, seen);
      if (at >= 0) {
        const between = text().slice(seen, at);
        seen = at + wanted.length;
        return between;
      }
      const left = until - performance.now();
      if (gone || left <= 0)
        throw new Error(
          `“${wanted}” did not come${gone ? " before the end" : ""}. Shown since:\n${text().slice(seen)}`,
        );
      await new Promise<void>((resolve) => {
        const timer = setTimeout(resolve, Math.min(left, 1000));
        wake = () => {
          clearTimeout(timer);
          resolve();
        };
      });
    }
  };

  return {
    see,
    text,
    raw: () => raw,
    rows: () => raw.split(ROW_ENDS).map(stripVTControlCharacters),
    press: (keys) => child.stdin?.write(keys),
    ended: () => exit,
    kill: () => {
      try {
        if (child.pid !== undefined && !gone) process.kill(-child.pid, "SIGKILL");
      } catch {
        // It ended meanwhile.
      }
    },
  };
}
