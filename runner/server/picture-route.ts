/** The pictures that procedures show: files beside the trees, and only pictures. */
import { createReadStream } from "node:fs";
import { realpath, stat } from "node:fs/promises";
import { extname, join, sep } from "node:path";
import type { FastifyInstance } from "fastify";
import { type Refusal, refuse } from "./refusal.ts";

const TYPES: ReadonlyMap<string, string> = new Map([
  [".png", "image/png"],
  [".jpg", "image/jpeg"],
  [".jpeg", "image/jpeg"],
  [".webp", "image/webp"],
  [".avif", "image/avif"],
  [".svg", "image/svg+xml"],
]);

/** A drawing opened by itself runs nothing and loads nothing. */
const PICTURE_POLICY = "default-src 'none'; style-src 'unsafe-inline'; sandbox";

export function routePictures(server: FastifyInstance, folder: string): void {
  server.get<{ Params: { "*": string } }>("/api/pictures/*", async ({ params }, reply) => {
    const path = await findPicture(folder, params["*"]);
    const type = path && TYPES.get(extname(path).toLowerCase());
    if (path === undefined || type === undefined) return unknownPicture(params["*"]);
    reply.headers({
      "content-type": type,
      "content-security-policy": PICTURE_POLICY,
      "cache-control": "no-cache",
    });
    return reply.send(createReadStream(path));
  });
}

/** The real path of a file in the folder; links that lead out of it lead nowhere. */
async function findPicture(folder: string, file: string): Promise<string | undefined> {
  if (file.split(/[/\\]/).some((part) => part === "" || part.startsWith("."))) return undefined;
  try {
    const root = await realpath(folder);
    const path = await realpath(join(root, file));
    return path.startsWith(root + sep) && (await stat(path)).isFile() ? path : undefined;
  } catch {
    return undefined;
  }
}

function unknownPicture(file: string): Refusal {
  return refuse(404, { code: "unknown-picture", message: `There is no picture ${file.slice(0, 200)}.` });
}
