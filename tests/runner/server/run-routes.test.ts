import { appendFileSync } from "node:fs";
import { join } from "node:path";
import fc from "fast-check";
import { afterEach, beforeEach, describe, expect, it } from "vitest";
import type { Procedure } from "../../../engine/procedure/model.ts";
import { DamagedStore } from "../../../runner/store/damaged-store.ts";
import { openMemoryStore } from "../../../runner/store/memory-store.ts";
import { parseProblem } from "../../../runner/wire/problem.ts";
import { parseAccepted, parseRunLines, parseRunList } from "../../../runner/wire/runs.ts";
import {
  DEAD_HORN,
  type Deed,
  HORN,
  hornProcedure,
  OPENED,
  openShop,
  type Shop,
  writeRecord,
} from "./shop.ts";

let shop: Shop;
let horn: Procedure;
let lines: readonly string[];
beforeEach(async () => {
  shop = openShop();
  horn = await hornProcedure(shop.trees);
  lines = writeRecord(horn, "r1", DEAD_HORN);
});
afterEach(() => shop.close());

const post = (payload: object, run = "r1") =>
  shop.server.inject({ method: "POST", url: `/api/runs/${run}/lines`, payload });
const get = (url: string) => shop.server.inject({ url });
const branches = async (query = `procedure=${HORN}`) => {
  const { branches } = (await get(`/api/audit?${query}`)).json<{
    branches: { step: string; outcome: string; count: number }[];
  }>();
  return branches
    .filter((each) => each.count > 0)
    .map((each) => `${each.step}:${each.outcome} ${each.count}`);
};
const WALKED = [
  "press:yes 1",
  "fuse:no-fault-found 1",
  "fuse/look:whole 1",
  "feed:good 1",
  "horn:repaired 1",
  "press-again:yes 1",
];

describe("lines of a run", () => {
  it("are stored and acknowledged by the highest number stored", async () => {
    const first = await post({ lines: lines.slice(0, 3) });
    expect(first.statusCode).toBe(200);
    expect(parseAccepted(first.json())).toEqual({ accepted: 2 });
    expect((await post({ lines: lines.slice(3) })).json()).toEqual({ accepted: 6 });
    expect(parseRunLines((await get("/api/runs/r1")).json())).toEqual({ lines });
  });

  it("may come again, all or some, alone or with new ones", async () => {
    await post({ lines: lines.slice(0, 3) });
    expect((await post({ lines: lines.slice(0, 3) })).json()).toEqual({ accepted: 2 });
    expect((await post({ lines: lines.slice(1, 2) })).json()).toEqual({ accepted: 2 });
    expect((await post({ lines: [...lines.slice(2, 5), ...lines.slice(4, 5)] })).json()).toEqual({
      accepted: 4,
    });
    expect((await get("/api/runs/r1")).json()).toEqual({ lines: lines.slice(0, 5) });
  });

  it("are refused with the number wanted next where some are missing", async () => {
    await post({ lines: lines.slice(0, 2) });
    const gap = await post({ lines: lines.slice(3) });
    expect(gap.statusCode).toBe(409);
    expect(parseProblem(gap.json())).toMatchObject({ code: "line-gap", next: 2 });
    expect(parseProblem((await post({ lines: lines.slice(1) }, "r2")).json())?.code).toBe("wrong-run");
    const never = writeRecord(horn, "r2", DEAD_HORN).slice(1);
    expect(parseProblem((await post({ lines: never }, "r2")).json())).toMatchObject({
      code: "line-gap",
      next: 0,
    });
  });

  it("never take the place of others that are stored", async () => {
    await post({ lines: lines.slice(0, 3) });
    const other = writeRecord(horn, "r1", [{ type: "answer", step: "press", answer: "no" }]);
    const clash = await post({ lines: other });
    expect(clash.statusCode).toBe(409);
    expect(parseProblem(clash.json())).toMatchObject({ code: "line-conflict", seq: 1 });
    expect((await get("/api/runs/r1")).json()).toEqual({ lines: lines.slice(0, 3) });
  });

  it("are refused where the chain does not hold, and nothing of the batch is stored", async () => {
    const other = writeRecord(horn, "r1", DEAD_HORN, OPENED + 1);
    const broken = await post({ lines: [...lines.slice(0, 2), ...other.slice(2)] });
    expect(broken.statusCode).toBe(422);
    expect(parseProblem(broken.json())).toMatchObject({ code: "broken-chain", seq: 2 });
    const changed = lines.map((line) => line.replace("12.4 V", "1.24 V"));
    const forged = await post({ lines: changed });
    expect(forged.statusCode).toBe(422);
    expect(parseProblem(forged.json())?.code).toBe("broken-line");
    expect((await get("/api/runs/r1")).statusCode).toBe(404);
  });

  it.each([
    ["no lines", { lines: [] }],
    ["lines that are no texts", { lines: [{}] }],
    ["another body", { line: "x" }],
    ["keys nobody knows", { lines: ["{}"], more: 1 }],
  ])("are a bad request with %s", async (_, body) => {
    const answer = await post(body);
    expect(answer.statusCode).toBe(400);
    expect(parseProblem(answer.json())?.code).toBe("bad-request");
  });

  it.each(["", "{", "null", "[]", "{}", '{"seq":0}', "\u0000"])("are refused as broken: %j", async (line) => {
    const answer = await post({ lines: [line] });
    expect(answer.statusCode).toBe(422);
    expect(parseProblem(answer.json())?.code).toBe("broken-line");
  });

  it("of a run whose name could not stand in an address are a bad request", async () => {
    expect((await post({ lines }, "a%2Fb")).statusCode).toBe(400);
    expect((await post({ lines }, "x".repeat(101))).statusCode).toBe(400);
  });

  it("are stored once however many senders send them in whatever pieces", async () => {
    const piece = fc.tuple(fc.nat(lines.length - 1), fc.integer({ min: 1, max: lines.length }));
    await fc.assert(
      fc.asyncProperty(fc.array(piece, { minLength: 1, maxLength: 12 }), async (pieces) => {
        const trial = openShop();
        try {
          const answers = await Promise.all(
            pieces.map(([from, length]) =>
              trial.server.inject({
                method: "POST",
                url: "/api/runs/r1/lines",
                payload: { lines: lines.slice(from, from + length) },
              }),
            ),
          );
          const accepted = answers.flatMap((each) => parseAccepted(each.json())?.accepted ?? []);
          const stored = await trial.store.readLines("r1");
          expect(stored).toEqual(lines.slice(0, stored.length));
          expect(Math.max(-1, ...accepted)).toBe(stored.length - 1);
        } finally {
          await trial.close();
        }
      }),
      { numRuns: 20 },
    );
  });
});

describe("a run", () => {
  it("is listed with what its record tells", async () => {
    await post({ lines });
    expect(parseRunList((await get("/api/runs")).json())).toEqual([
      {
        run: "r1",
        lines: 7,
        opened: "2031-03-04T08:00:00.000Z",
        latest: "2031-03-04T08:06:00.000Z",
        procedure: HORN,
        revision: 3,
        equipment: "heron-35",
        technician: "tech-1",
        unit: "van 12",
        end: "fixed",
      },
    ]);
  });

  it("that nobody sent is unknown", async () => {
    const answer = await get("/api/runs/never");
    expect(answer.statusCode).toBe(404);
    expect(parseProblem(answer.json())?.code).toBe("unknown-run");
  });
});

describe("the audit", () => {
  it("counts each branch a run took, however its lines came", async () => {
    for (const line of lines) await post({ lines: [line] });
    await post({ lines: writeRecord(horn, "r2", DEAD_HORN) }, "r2");
    expect(await branches()).toEqual(WALKED.map((each) => each.replace(" 1", " 2")));
    const audit = (await get(`/api/audit?procedure=${HORN}`)).json();
    expect(audit).toMatchObject({ runs: 2, ended: 2, medianMinutes: 6 });
    const feed = audit.branches.find((each: { step: string }) => each.step === "feed");
    expect(feed).toMatchObject({ outcome: "dead", goto: ["refer"], count: 0, share: 0 });
  });

  it("takes back the branches that an amended answer left", async () => {
    const amend: Deed = {
      type: "amend",
      seq: 1,
      event: { type: "answer", step: "press", answer: "no", at: OPENED + 500_000 },
    };
    const amended = writeRecord(horn, "r1", [...DEAD_HORN.slice(0, 3), amend]);
    await post({ lines: amended.slice(0, 4) });
    expect(await branches()).toContain("feed:good 1");
    await post({ lines: amended.slice(4) });
    expect(await branches()).toEqual(["press:no 1"]);
  });

  it("counts a run later that was walked on a text the shop had not seen", async () => {
    const unseen = openShop();
    appendFileSync(join(unseen.trees, `${HORN}.yaml`), "# Another text.\n");
    const record = writeRecord(await hornProcedure(unseen.trees), "r1", DEAD_HORN);
    const text = (await unseen.server.inject(`/api/procedures/${HORN}`)).json().text;
    await unseen.close();

    await post({ lines: record });
    expect((await get("/api/runs/r1")).json()).toEqual({ lines: record });
    expect(await branches()).toEqual([]);
    const saved = await shop.server.inject({
      method: "PUT",
      url: `/api/procedures/${HORN}`,
      payload: { text },
    });
    expect(saved.statusCode).toBe(200);
    await expect.poll(branches).toEqual(WALKED);
  });

  it("says that the store is damaged, and where, instead of that something went wrong", async () => {
    const store = {
      ...openMemoryStore(),
      readBundle: () =>
        Promise.reject(new DamagedStore("bundles, hash h1", "This row is not as it was written.")),
    };
    const damaged = openShop(store);
    const answer = await damaged.server.inject({
      method: "POST",
      url: "/api/runs/r1/lines",
      payload: { lines },
    });
    expect(answer.statusCode).toBe(500);
    expect(answer.json().error).toMatchObject({ code: "data-damaged" });
    expect(answer.json().error.message).toContain("bundles, hash h1");
    await damaged.close();
  });

  it("goes on counting runs of a text that has changed since it was served", async () => {
    await get(`/api/procedures/${HORN}`);
    appendFileSync(join(shop.trees, `${HORN}.yaml`), "# Another text.\n");
    await post({ lines });
    expect(await branches()).toEqual(WALKED);
  });

  it("counts one revision when asked for one", async () => {
    await post({ lines });
    expect(await branches(`procedure=${HORN}&revision=3`)).toEqual(WALKED);
    expect(await branches(`procedure=${HORN}&revision=2`)).toEqual([]);
  });

  it("knows no procedure that the shop has not, and wants one named", async () => {
    expect(parseProblem((await get("/api/audit?procedure=never")).json())?.code).toBe("unknown-procedure");
    expect((await get("/api/audit")).statusCode).toBe(400);
    expect((await get("/api/audit?procedure=../x")).statusCode).toBe(404);
  });
});
