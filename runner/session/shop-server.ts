import { parseProblem } from "../wire/problem.ts";
import {
  type ProcedureEntry,
  type ProcedureTexts,
  parseProcedureList,
  parseProcedureTexts,
} from "../wire/procedures.ts";
import { parseAccepted, parseRunList, type RunEntry } from "../wire/runs.ts";
import type { Parse } from "../wire/shape.ts";

/** What the server said, or why there is no answer. */
export type Answer<T> =
  | { readonly ok: true; readonly value: T }
  /** No network, no server, or no sense in what came: try again later. */
  | { readonly ok: false; readonly code: "unreachable" }
  | {
      readonly ok: false;
      readonly code: "refused";
      readonly problem: string;
      readonly message: string;
      /** The line wanted next, where lines came with a gap. */
      readonly next?: number;
    };

/** The shop's server as the technician's app sees it. */
export interface ShopServer {
  readonly listProcedures: () => Promise<Answer<readonly ProcedureEntry[]>>;
  readonly readTexts: (procedure: string) => Promise<Answer<ProcedureTexts>>;
  readonly listRuns: () => Promise<Answer<readonly RunEntry[]>>;
  /** Sends lines of a record; the highest sequence number that the server has then. */
  readonly postLines: (run: string, lines: readonly string[]) => Promise<Answer<number>>;
  readonly get: <T>(path: string, parse: Parse<T>) => Promise<Answer<T>>;
}

const PATIENCE = 15_000;

export function openShopServer(base = ""): ShopServer {
  const get = <T>(path: string, parse: Parse<T>) => ask(`${base}${path}`, {}, parse);
  return {
    get,
    listProcedures: () => get("/api/procedures", parseProcedureList),
    readTexts: (procedure) => get(`/api/procedures/${encodeURIComponent(procedure)}`, parseProcedureTexts),
    listRuns: () => get("/api/runs", parseRunList),
    async postLines(run, lines) {
      const answer = await ask(
        `${base}/api/runs/${encodeURIComponent(run)}/lines`,
        {
          method: "POST",
          headers: { "content-type": "application/json" },
          body: JSON.stringify({ lines }),
        },
        parseAccepted,
      );
      return answer.ok ? { ok: true, value: answer.value.accepted } : answer;
    },
  };
}

async function ask<T>(url: string, init: RequestInit, parse: Parse<T>): Promise<Answer<T>> {
  try {
    const response = await fetch(url, { ...init, signal: AbortSignal.timeout(PATIENCE) });
    const body: unknown = await response.json();
    if (!response.ok) return refusal(response.status, body);
    const value = parse(body);
    return value === undefined ? { ok: false, code: "unreachable" } : { ok: true, value };
  } catch {
    return { ok: false, code: "unreachable" };
  }
}

/** A fault of the server (5xx) passes; what it says about the request stays. */
function refusal(status: number, body: unknown): Answer<never> {
  const problem = parseProblem(body);
  if (problem === undefined || status >= 500) return { ok: false, code: "unreachable" };
  return {
    ok: false,
    code: "refused",
    problem: problem.code,
    message: problem.message,
    ...(problem.next === undefined ? {} : { next: problem.next }),
  };
}
