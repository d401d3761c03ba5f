/** Who may talk to the server, and what its pages may do. */
import type { FastifyInstance, FastifyRequest } from "fastify";
import { refuse } from "./refusal.ts";

const OWN_NAMES: ReadonlySet<string> = new Set(["127.0.0.1", "localhost", "[::1]"]);
const READS: ReadonlySet<string> = new Set(["GET", "HEAD", "OPTIONS"]);

const POLICY = [
  "default-src 'none'",
  "script-src 'self'",
  "img-src 'self' data:",
  "font-src 'self'",
  "connect-src 'self'",
  "worker-src 'self'",
  "manifest-src 'self'",
  "base-uri 'none'",
  "form-action 'none'",
  "frame-ancestors 'none'",
];

/** The Content-Security-Policy of everything but the author's page. */
const STRICT_POLICY = [...POLICY, "style-src 'self'"].join("; ");
/** The author's page: the drawing puts its styles into the page. */
export const AUTHOR_POLICY = [...POLICY, "style-src 'self' 'unsafe-inline'"].join("; ");

/**
 * Refuses requests that reached this address under another name (a page elsewhere whose name was made to
 * point here) and writes that a page of another origin sent; puts the safe headers on every answer.
 */
export function guard(server: FastifyInstance): void {
  server.addHook("onRequest", async (request, reply) => {
    reply.headers({
      "content-security-policy": STRICT_POLICY,
      "x-content-type-options": "nosniff",
      "referrer-policy": "no-referrer",
      "cross-origin-resource-policy": "same-origin",
      "cross-origin-opener-policy": "same-origin",
    });
    const refusal = foreignHost(request) ?? foreignOrigin(request);
    if (refusal === undefined) return;
    return reply.code(refusal.status).send({ error: refusal.problem });
  });
}

function foreignHost(request: FastifyRequest) {
  const host = request.headers.host ?? "";
  const [, name = "", port = "80"] = /^(.*?)(?::(\d+))?$/.exec(host.toLowerCase()) ?? [];
  const own = request.socket.localPort;
  if (OWN_NAMES.has(name) && (own === undefined || Number(port) === own)) return undefined;
  const message = "This server answers only under its own address, 127.0.0.1 or localhost with its port.";
  return refuse(403, { code: "foreign-host", message });
}

function foreignOrigin(request: FastifyRequest) {
  if (READS.has(request.method)) return undefined;
  const { origin, host = "" } = request.headers;
  const site = request.headers["sec-fetch-site"];
  // Programs that are no browser send neither.
  const sameOrigin = origin === undefined || origin.toLowerCase() === `http://${host.toLowerCase()}`;
  const sameSite = site === undefined || site === "same-origin" || site === "none";
  if (sameOrigin && sameSite) return undefined;
  return refuse(403, {
    code: "foreign-origin",
    message: "Only this server's own pages may change something here.",
  });
}
