/** Asking with arrow keys, on a terminal whose cursor can be moved. */
import { input, Separator, select } from "@inquirer/prompts";
import { visible } from "../../engine/procedure/visible.ts";
import { type Asker, type Choice, Left } from "./asker.ts";
import { countDown } from "./count-down.ts";
import { layLine } from "./lay-lines.ts";
import type { Screen } from "./screen.ts";

const MARK = "›";

/** `leave` ends whatever is asked. */
export function inquirerAsker(screen: Screen, leave: AbortSignal): Asker {
  let hinted = false;
  return {
    async choose(choices) {
      const answers = choices.filter((choice) => !choice.quiet);
      const quiet = choices.filter((choice) => choice.quiet);
      const room = Math.max(6, (process.stdout.rows || 24) - 4);
      const value = await orLeft(
        select<string>(
          {
            message: "",
            loop: false,
            pageSize: Math.min(room, 2 * choices.length + 2),
            choices: [
              ...answers.map((choice) => entry(choice, screen)),
              ...(answers.length > 0 && quiet.length > 0 ? [new Separator(" ")] : []),
              ...quiet.map((choice) => entry(choice, screen)),
            ],
            theme: {
              prefix: { idle: "", done: MARK },
              indexMode: "number",
              // Said once: it is the same for every choice.
              style: {
                message: () => "",
                keysHelpTip: () => (hinted ? undefined : "Arrow keys or number, then Enter."),
              },
            },
          },
          { signal: leave },
        ),
      );
      hinted = true;
      return value;
    },
    async type(message, wrong) {
      const text = await orLeft(
        input(
          {
            message: visible(message),
            validate: (typed) => wrong(typed.trim()) ?? true,
            theme: {
              prefix: MARK,
              style: { error: (text: string) => errorRows(text, screen) },
            },
          },
          { signal: leave },
        ),
      );
      return text.trim();
    },
    count: (clock) => countDown(clock, screen, leave),
    close: () => undefined,
  };
}

/** A long name goes on below its own beginning. */
function entry({ name, value }: Choice, screen: Screen): { name: string; short: string; value: string } {
  const rows = layLine(visible(name), screen.width() - 6, false);
  return { name: rows.join("\n     "), short: rows.join("\n  "), value };
}

function errorRows(text: string, screen: Screen): string {
  return layLine({ text, first: "! " }, screen.width(), false).join("\n");
}

/** The library tells a technician who leaves by errors of several names. */
async function orLeft<T>(asked: Promise<T>): Promise<T> {
  try {
    return await asked;
  } catch (thrown) {
    if (thrown instanceof Error && LEAVING.has(thrown.name)) throw new Left();
    throw thrown;
  }
}

const LEAVING: ReadonlySet<string> = new Set(["ExitPromptError", "AbortPromptError", "CancelPromptError"]);
