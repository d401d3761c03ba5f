/** Runs: their lines come in, and go out again. */
import type { FastifyInstance } from "fastify";
import type { Store, StoredRun } from "../store/store.ts";
import type { LinesBody, RunEntry, RunLines } from "../wire/runs.ts";
import type { Intake } from "./intake.ts";
import { type Refusal, refuse } from "./refusal.ts";

interface ByRun {
  Params: { run: string };
}

const MOST_LINES = 2_000;
const LONGEST_LINE = 64_000;
const BODY_LIMIT = 8_000_000;
const LISTED = 500;

const LINES_BODY = {
  type: "object",
  properties: {
    lines: {
      type: "array",
      items: { type: "string", maxLength: LONGEST_LINE },
      minItems: 1,
      maxItems: MOST_LINES,
    },
  },
  required: ["lines"],
  additionalProperties: false,
};
const RUN_PARAMS = {
  type: "object",
  properties: { run: { type: "string", pattern: "^[A-Za-z0-9_.:-]{1,100}$" } },
  required: ["run"],
};

export function routeRuns(
  server: FastifyInstance,
  { store, intake }: { store: Store; intake: Intake },
): void {
  server.get("/api/runs", async () => (await store.listRuns(LISTED)).map(toEntry));

  server.get<ByRun>(
    "/api/runs/:run",
    { schema: { params: RUN_PARAMS } },
    async ({ params: { run } }): Promise<RunLines | Refusal> => {
      const lines = await store.readLines(run);
      return lines.length > 0
        ? { lines }
        : refuse(404, { code: "unknown-run", message: `There is no run ${run}.` });
    },
  );

  server.post<ByRun & { Body: LinesBody }>(
    "/api/runs/:run/lines",
    { bodyLimit: BODY_LIMIT, schema: { params: RUN_PARAMS, body: LINES_BODY } },
    async ({ params: { run }, body: { lines } }) => intake.accept(run, lines),
  );
}

function toEntry({ run, lines, opened, latest, ...told }: StoredRun): RunEntry {
  const { procedure, revision, equipment, technician, unit, end } = told;
  return {
    run,
    lines,
    opened: new Date(opened).toISOString(),
    latest: new Date(latest).toISOString(),
    ...(procedure === undefined ? {} : { procedure }),
    ...(revision === undefined ? {} : { revision }),
    ...(equipment === undefined ? {} : { equipment }),
    ...(technician === undefined ? {} : { technician }),
    ...(unit === undefined ? {} : { unit }),
    ...(end === undefined ? {} : { end }),
  };
}
