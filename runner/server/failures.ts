/** Every error of the server in one shape: `{ error: { code, message } }`. */
import type { FastifyError, FastifyInstance } from "fastify";
import { DamagedStore } from "../store/damaged-store.ts";
import type { Problem } from "../wire/problem.ts";

/** Where an error that nobody foresaw is told; its words never go to a browser. */
export type Log = (line: string) => void;

export function answerFailures(server: FastifyInstance, log: Log): void {
  server.setErrorHandler((error: FastifyError, request, reply) => {
    const status = error.statusCode ?? 500;
    if (status >= 500) log(`${request.method} ${request.url}: ${error.stack ?? error.message}`);
    return reply.code(status).send({ error: toProblem(error, status) });
  });
  server.setNotFoundHandler((request, reply) => {
    const message = `Nothing here answers ${request.method} ${request.url.slice(0, 200)}.`;
    return reply.code(404).send({ error: { code: "not-found", message } satisfies Problem });
  });
}

/** What a request gets that is not even HTTP. */
export const BAD_REQUEST_ANSWER = (() => {
  const problem: Problem = { code: "bad-request", message: "This was no request that could be read." };
  const body = JSON.stringify({ error: problem });
  return `HTTP/1.1 400 Bad Request\r\ncontent-type: application/json\r\ncontent-length: ${body.length}\r\nconnection: close\r\n\r\n${body}`;
})();

function toProblem(error: Error, status: number): Problem {
  if (status === 413) return { code: "too-large", message: "This is more than the server takes at once." };
  if (error instanceof DamagedStore) return { code: error.code, message: error.message };
  if (status < 500) return { code: "bad-request", message: `${error.message}.` };
  return {
    code: "internal",
    message: "The server could not do this. Nothing was stored; what you have is safe where it is.",
  };
}
