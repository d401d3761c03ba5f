import { cpSync, mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { request } from "node:http";
import { connect, createServer as createSocketServer } from "node:net";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterEach, beforeEach, describe, expect, it } from "vitest";
import { type Started, startServer } from "../../../runner/server/serve.ts";
import { parseAccepted, parseRunLines } from "../../../runner/wire/runs.ts";
import { killAtRandomMoments } from "./kill-server.ts";
import { DEAD_HORN, hornProcedure, writeRecord } from "./shop.ts";

let folder: string;
let trees: string;
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), "probewright-serve-"));
  trees = join(folder, "trees");
  cpSync(join(import.meta.dirname, "trees"), trees, { recursive: true });
});
afterEach(() => rmSync(folder, { recursive: true, force: true }));

const start = (port = 0, data = join(folder, "data")) =>
  startServer({ port, data, trees, web: folder, log: () => undefined });

function running(started: Started) {
  if (!started.ok) throw new Error(started.problem.message);
  return started;
}

/** Status of a request with that Host header; fetch would not send it. */
function statusAs(address: string, host: string): Promise<number | undefined> {
  return new Promise((resolve, reject) => {
    request(`${address}/api/runs`, { headers: { host } }, (answer) => {
      answer.resume();
      resolve(answer.statusCode);
    })
      .on("error", reject)
      .end();
  });
}

describe("a started server", () => {
  it("takes a run in on its own port and has it after a restart", async () => {
    const lines = writeRecord(await hornProcedure(trees), "r1", DEAD_HORN);
    const first = running(await start());
    expect(first.address).toMatch(/^http:\/\/127\.0\.0\.1:\d+$/);
    const answer = await fetch(`${first.address}/api/runs/r1/lines`, {
      method: "POST",
      headers: { "content-type": "application/json", origin: first.address },
      body: JSON.stringify({ lines }),
    });
    expect(parseAccepted(await answer.json())).toEqual({ accepted: lines.length - 1 });
    await first.close();
    const second = running(await start());
    const stored = await fetch(`${second.address}/api/runs/r1`);
    expect(parseRunLines(await stored.json())).toEqual({ lines });
    await second.close();
  });

  it("answers under its own names with its own port only", async () => {
    const { address, close } = running(await start());
    const { port } = new URL(address);
    expect(await statusAs(address, `localhost:${port}`)).toBe(200);
    for (const host of ["attacker.example", `attacker.example:${port}`, "localhost", "localhost:1"]) {
      expect([host, await statusAs(address, host)]).toEqual([host, 403]);
    }
    await close();
  });

  it("answers what is no request in a sentence", async () => {
    const { address, close } = running(await start());
    const answer = await new Promise<string>((resolve) => {
      let text = "";
      const socket = connect(Number(new URL(address).port), "127.0.0.1", () =>
        socket.end("no request at all\r\n\r\n"),
      );
      socket.on("data", (chunk) => {
        text += chunk;
      });
      socket.on("close", () => resolve(text));
    });
    expect(answer).toContain('{"error":{"code":"bad-request"');
    await close();
  });

  it("says in one line that its port is in use, and gives its data free again", async () => {
    const other = createSocketServer();
    await new Promise<void>((resolve) => other.listen(0, "127.0.0.1", resolve));
    const taken = other.address();
    const port = typeof taken === "object" && taken !== null ? taken.port : 0;
    const refused = await start(port);
    expect(refused).toMatchObject({ ok: false, problem: { code: "port-in-use" } });
    if (!refused.ok) expect(refused.problem.message).toMatch(/^Port \d+ is in use[^\n]*$/);
    other.close();
    await running(await start()).close();
  });

  it("says in one line that a port cannot be, or that its data folder cannot be used", async () => {
    expect(await start(70_000)).toMatchObject({ ok: false, problem: { code: "port-refused" } });
    writeFileSync(join(folder, "file"), "");
    expect(await start(0, join(folder, "file", "data"))).toMatchObject({
      ok: false,
      problem: { code: "data-unusable" },
    });
  });

  it("has every line it acknowledged after being killed at random moments", {
    timeout: 120_000,
  }, async () => {
    const seed = 20310304;
    const report = await killAtRandomMoments({ moments: 20, seed, folder, trees });
    expect(report.losses, `seed ${seed}`).toEqual([]);
    expect(report.kills).toBe(20);
    expect(report.acknowledged).toBeGreaterThan(100);
    expect(report.cutOff).toBeGreaterThan(20);
  });
});
