/** The shop's server: the pages, the procedures, and the store behind them. No port is needed to try it. */
import fastify, { type FastifyInstance, type FastifyReply } from "fastify";
import type { Store } from "../store/store.ts";
import { auditProcedure } from "./audit-procedure.ts";
import { answerFailures, BAD_REQUEST_ANSWER, type Log } from "./failures.ts";
import { guard } from "./guard.ts";
import { openIntake } from "./intake.ts";
import { servePages } from "./pages.ts";
import { routePictures } from "./picture-route.ts";
import { routeProcedures } from "./procedure-routes.ts";
import { isRefusal } from "./refusal.ts";
import { routeRuns } from "./run-routes.ts";
import { openTrees } from "./trees.ts";

export interface ServerParts {
  readonly store: Store;
  /** Folder of procedures; equipment sheets in `equipment` below it. */
  readonly trees: string;
  /** Folder that the web build wrote. */
  readonly web: string;
  readonly log: Log;
  /** UTC, ms. */
  readonly now: () => number;
}

const AUDIT_QUERY = {
  type: "object",
  properties: {
    procedure: { type: "string", minLength: 1, maxLength: 100 },
    revision: { type: "string", pattern: "^[1-9][0-9]{0,8}$" },
  },
  required: ["procedure"],
};

/** A server that listens nowhere yet. The store stays the caller's to close, after the server. */
export function createServer({ store, trees: folder, web, log, now }: ServerParts): FastifyInstance {
  const server = fastify({
    logger: false,
    // A body is what it says: nothing is bent into another type, nothing unknown is dropped without a word.
    ajv: { customOptions: { coerceTypes: false, removeAdditional: false } },
    bodyLimit: 100_000,
    requestTimeout: 30_000,
    forceCloseConnections: "idle",
    routerOptions: { maxParamLength: 300 },
    frameworkErrors: (error, _, reply: FastifyReply) => {
      reply.code(400).send({ error: { code: "bad-request", message: `${error.message}.` } });
    },
    clientErrorHandler: (_, socket) => {
      if (socket.writable) socket.end(BAD_REQUEST_ANSWER);
    },
  });
  server.removeContentTypeParser("text/plain");
  guard(server);
  answerFailures(server, log);
  server.addHook("preSerialization", async (_, reply, payload) => {
    if (!isRefusal(payload)) return payload;
    reply.code(payload.status);
    return { error: payload.problem };
  });

  const trees = openTrees(folder);
  const intake = openIntake(store, trees);
  let counting: Promise<unknown> = Promise.resolve();
  const countLate = () => {
    counting = counting.then(() => intake.countLate()).catch((error: unknown) => log(`counting: ${error}`));
  };
  server.addHook("onReady", async () => countLate());
  server.addHook("onClose", async () => counting);

  routeProcedures(server, { store, trees, now, onKept: countLate });
  routeRuns(server, { store, intake });
  routePictures(server, folder);
  server.get<{ Querystring: { procedure: string; revision?: string } }>(
    "/api/audit",
    { schema: { querystring: AUDIT_QUERY } },
    async ({ query: { procedure, revision } }) =>
      auditProcedure({ store, trees }, procedure, revision === undefined ? undefined : Number(revision)),
  );
  server.register(async (scope) => servePages(scope, web));
  return server;
}
