import { mkdirSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import type { InjectOptions } from "fastify";
import { afterEach, beforeEach, describe, expect, it } from "vitest";
import { parseProblem } from "../../../runner/wire/problem.ts";
import { HORN, openShop, type Shop } from "./shop.ts";

let shop: Shop;
beforeEach(() => {
  shop = openShop();
});
afterEach(() => shop.close());

const ask = (options: InjectOptions) => shop.server.inject(options);

/** The folder as the web build leaves it. */
function buildPages(): void {
  for (const [file, text] of [
    ["runner/app/index.html", "<!doctype html><title>Runner</title>"],
    ["author/app/index.html", "<!doctype html><title>Author</title>"],
    ["assets/main-4f2a91c0.js", "export {};"],
    ["sw.js", "self;"],
    ["manifest.webmanifest", "{}"],
    [".hidden", "secret"],
  ] as const) {
    mkdirSync(join(shop.web, file, ".."), { recursive: true });
    writeFileSync(join(shop.web, file), text);
  }
}

describe("the pages", () => {
  it("are the technician's at / and the author's at /author", async () => {
    buildPages();
    for (const [url, title] of [
      ["/", "Runner"],
      ["/author", "Author"],
      ["/author/", "Author"],
    ] as const) {
      const page = await ask({ url });
      expect(page.statusCode).toBe(200);
      expect(page.headers["content-type"]).toMatch("text/html");
      expect(page.headers["cache-control"]).toBe("no-cache");
      expect(page.body).toContain(title);
    }
  });

  it("run only what this server sent; the author's may hold styles", async () => {
    buildPages();
    const policyOf = async (url: string) => String((await ask({ url })).headers["content-security-policy"]);
    for (const url of ["/", "/author", "/assets/main-4f2a91c0.js", "/sw.js", "/api/runs", "/never"]) {
      const policy = await policyOf(url);
      expect(policy).toContain("default-src 'none'; script-src 'self'");
      expect(policy).toContain("frame-ancestors 'none'");
      expect(policy).not.toContain("unsafe-eval");
      const styles = url === "/author" ? "style-src 'self' 'unsafe-inline'" : "style-src 'self'";
      expect(policy.split("; ")).toContain(styles);
    }
    const headers = (await ask({ url: "/" })).headers;
    expect(headers).toMatchObject({ "x-content-type-options": "nosniff", "referrer-policy": "no-referrer" });
  });

  it("keep hashed assets for ever and ask again for the rest", async () => {
    buildPages();
    const cacheOf = async (url: string) => (await ask({ url })).headers["cache-control"];
    expect(await cacheOf("/assets/main-4f2a91c0.js")).toBe("public, max-age=31536000, immutable");
    expect(await cacheOf("/sw.js")).toBe("no-cache");
    expect(await cacheOf("/manifest.webmanifest")).toBe("no-cache");
  });

  it("lead to no file outside or hidden", async () => {
    buildPages();
    writeFileSync(join(shop.root, "secret.txt"), "secret");
    for (const url of [
      "/../secret.txt",
      "/..%2fsecret.txt",
      "/%2e%2e/secret.txt",
      "/.hidden",
      "/assets/",
      "/runner",
    ]) {
      const answer = await ask({ url });
      expect([403, 404], url).toContain(answer.statusCode);
      expect(answer.body).not.toContain("secret\n");
      expect(parseProblem(answer.json())).toBeDefined();
    }
  });

  it("say so where they are not built", async () => {
    const answer = await ask({ url: "/" });
    expect(answer.statusCode).toBe(503);
    expect(parseProblem(answer.json())?.message).toContain("npm run build");
  });
});

describe("the server", () => {
  it.each(["localhost", "127.0.0.1", "[::1]", "LOCALHOST", "localhost:8080"])(
    "answers as %s",
    async (host) => {
      expect((await ask({ url: "/api/runs", headers: { host } })).statusCode).toBe(200);
    },
  );

  it.each([
    "attacker.example",
    "localhost.attacker.example",
    "127.0.0.1.nip.example",
    "10.0.0.1",
    "localhost:x",
  ])("does not answer as %j", async (host) => {
    const answer = await ask({ url: "/api/runs", headers: { host } });
    expect(answer.statusCode).toBe(403);
    expect(parseProblem(answer.json())?.code).toBe("foreign-host");
  });

  it("takes writes from its own pages and from programs, and from no other page", async () => {
    const write = (headers: Record<string, string>) =>
      ask({
        method: "PUT",
        url: `/api/drafts/${HORN}`,
        payload: { text: "x" },
        headers: { host: "localhost:80", ...headers },
      });
    expect((await write({})).statusCode).toBe(200);
    expect((await write({ origin: "http://localhost:80", "sec-fetch-site": "same-origin" })).statusCode).toBe(
      200,
    );
    for (const headers of [
      { origin: "http://localhost:81" },
      { origin: "https://localhost:80" },
      { origin: "http://attacker.example" },
      { origin: "null" },
      { "sec-fetch-site": "cross-site" },
      { "sec-fetch-site": "same-site" },
    ]) {
      const answer = await write(headers as Record<string, string>);
      expect([headers, answer.statusCode]).toEqual([headers, 403]);
      expect(parseProblem(answer.json())?.code).toBe("foreign-origin");
    }
  });

  it("refuses bodies that are no JSON, are cut off, poisoned or too large", async () => {
    const url = `/api/drafts/${HORN}`;
    const put = (payload: string, type = "application/json") =>
      ask({ method: "PUT", url, payload, headers: { "content-type": type } });
    expect((await put("text=x", "application/x-www-form-urlencoded")).statusCode).toBe(415);
    expect((await put('{"text":"x"}', "text/plain")).statusCode).toBe(415);
    expect((await put('{"text":')).statusCode).toBe(400);
    expect((await put("")).statusCode).toBe(400);
    expect((await put('{"text":"x","__proto__":{}}')).statusCode).toBe(400);
    expect((await put('{"text":7}')).statusCode).toBe(400);
    expect((await put(`{"text":"${"x".repeat(9_000_000)}"}`)).statusCode).toBe(413);
    for (const answer of [await put('{"text":'), await put(""), await put("x", "text/plain")]) {
      expect(parseProblem(answer.json())?.code).toBe("bad-request");
      expect(answer.body).not.toContain("    at ");
    }
    expect(await shop.store.readDraft(HORN)).toBeUndefined();
  });

  it("answers what it does not know with a problem", async () => {
    for (const [method, url] of [
      ["GET", "/api"],
      ["GET", "/api/never"],
      ["DELETE", "/api/runs"],
      ["POST", "/"],
    ] as const) {
      const answer = await ask({ method, url });
      expect(answer.statusCode).toBe(404);
      expect(parseProblem(answer.json())?.code).toBe("not-found");
    }
    const odd = await ask({ url: "/api/procedures/%E0%A4%A" });
    expect(odd.statusCode).toBe(400);
    expect(parseProblem(odd.json())?.code).toBe("bad-request");
  });

  it("tells its log, and not the browser, what nobody foresaw", async () => {
    await shop.close();
    const { openMemoryStore } = await import("../../../runner/store/memory-store.ts");
    shop = openShop({ ...openMemoryStore(), listRuns: () => Promise.reject(new Error("the disk is gone")) });
    const answer = await ask({ url: "/api/runs" });
    expect(answer.statusCode).toBe(500);
    expect(parseProblem(answer.json())?.code).toBe("internal");
    expect(answer.body).not.toContain("disk");
    expect(shop.logged.join()).toContain("the disk is gone");
  });
});
