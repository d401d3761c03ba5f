/** An SMT solver asked in SMT-LIB 2, the standard language of such solvers. */
import { init, killThreads, type Z3_context } from "z3-solver";

export type Answer = "sat" | "unsat";

export interface SmtSolver {
  /** Whether the declarations and assertions of each question can hold together. */
  answers(questions: readonly string[]): readonly Answer[];
  /** To be called at the end: its threads keep the process alive. */
  close(): Promise<void>;
}

/** The compiled solver, as far as it is used here. */
interface Compiled {
  ccall(
    name: string,
    returns: "string",
    types: readonly ["number", "string"],
    values: readonly [context: Z3_context, text: string],
  ): string;
}

/** A text is handed over on the compiled solver's stack, which is small. */
const AT_ONCE = 20;

/**
 * The solver, started. It is called directly: the package's own promise gives the text's place on the stack
 * free again before its thread has read it.
 */
export async function openSolver(): Promise<SmtSolver> {
  const { Z3, em } = await init();
  const compiled: Compiled = em;
  const config = Z3.mk_config();
  const context = Z3.mk_context(config);
  Z3.del_config(config);
  const ask = (questions: readonly string[]): readonly Answer[] => {
    const text = questions.map((question) => `(push 1)\n${question}\n(check-sat)\n(pop 1)`).join("\n");
    const said = compiled.ccall("Z3_eval_smtlib2_string", "string", ["number", "string"], [context, text]);
    const lines = said.trim().split("\n");
    return questions.map((question, index) => {
      const answer = lines[index];
      if (answer !== "sat" && answer !== "unsat") throw new Error(`${said}: ${question}`);
      return answer;
    });
  };
  return {
    answers: (questions) =>
      Array.from({ length: Math.ceil(questions.length / AT_ONCE) }, (_, at) =>
        ask(questions.slice(at * AT_ONCE, (at + 1) * AT_ONCE)),
      ).flat(),
    close: () => killThreads(em),
  };
}

/** A number of few digits as an SMT-LIB decimal. */
export function real(value: number): string {
  const plain = Math.abs(value).toFixed(6);
  return value < 0 ? `(- ${plain})` : plain;
}

export const all = (parts: readonly string[]): string => `(and true ${parts.join(" ")})`;
export const any = (parts: readonly string[]): string => `(or false ${parts.join(" ")})`;
