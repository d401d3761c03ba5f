/** The built pages and their assets. */
import { existsSync } from "node:fs";
import { join, sep } from "node:path";
import fastifyStatic from "@fastify/static";
import type { FastifyInstance, FastifyReply } from "fastify";
import { AUTHOR_POLICY } from "./guard.ts";
import { refuse } from "./refusal.ts";

const PAGES = {
  "/": "runner/app/index.html",
  "/author": "author/app/index.html",
} as const;

/** Serves the folder that the web build wrote. */
export async function servePages(server: FastifyInstance, web: string): Promise<void> {
  await server.register(fastifyStatic, {
    root: web,
    index: false,
    wildcard: true,
    dotfiles: "ignore",
    cacheControl: false,
    suppressWarning: true,
    setHeaders: (reply, path) => setHeaders(reply, path.slice(web.length).split(sep).join("/")),
  });
  for (const [url, file] of Object.entries(PAGES)) {
    for (const path of url === "/" ? [url] : [url, `${url}/`]) {
      server.get(path, async (_, reply) => {
        if (existsSync(join(web, file))) return reply.sendFile(file);
        const message = "The pages are not built yet. Run: npm run build";
        const { status, problem } = refuse(503, { code: "not-found", message });
        return reply.code(status).send({ error: problem });
      });
    }
  }
}

/** Names under `assets/` hold a hash of what is in them: they never change. The rest is asked for each time. */
function setHeaders(reply: FastifyReply, path: string): void {
  const lasting = path.startsWith("/assets/");
  reply.header("cache-control", lasting ? "public, max-age=31536000, immutable" : "no-cache");
  if (path === `/${PAGES["/author"]}`) reply.header("content-security-policy", AUTHOR_POLICY);
}
