import { createHash } from "node:crypto";
import { sha256 } from "@noble/hashes/sha2.js";
import { bytesToHex, utf8ToBytes } from "@noble/hashes/utils.js";
import fc from "fast-check";
import { describe, expect, it } from "vitest";
import type { RunEvent } from "../../../engine/machine/event.ts";
import {
  eventLine,
  eventOf,
  openingLine,
  parseRecordLine,
  type RecordLine,
  replayRecord,
  verifyRecord,
  writeLine,
} from "../../../engine/machine/record.ts";
import { fanText, sound } from "../procedure/fan-text.ts";
import { Job, OPENED } from "./job.ts";

const FAN = sound(fanText());

function recordOf(run: string, events: readonly RunEvent[]): readonly string[] {
  let last = openingLine(FAN, { run, at: OPENED, technician: "tech-1", unit: "H-07" }, "tests 1");
  const lines = [writeLine(last)];
  for (const event of events) {
    last = eventLine(last, event, "hot");
    lines.push(writeLine(last));
  }
  return lines;
}

const WALKED = new Job(FAN)
  .say("hot", "yes")
  .say("feed", "0.0")
  .say("fuse-bad", "done")
  .say("again", "runs").run;
const RECORD = recordOf("run-1", WALKED.events);

/** The line's text with the payload put in, hashed anew: for what no shape allows. */
function canonicalOf(payload: object): string {
  const line = { ...(JSON.parse(RECORD[0] ?? "") as RecordLine), payload } as RecordLine;
  const text = writeLine(line);
  return text.slice(text.indexOf('"payload":') + 10, text.indexOf(',"previous":'));
}

describe("the canonical form", () => {
  // RFC 8785, 3.2.2 and 3.2.4, the sample object and its canonical form; the form of numbers and escapes also in
  // the sample of its authors' public repository (read).
  it("is that of RFC 8785 for numbers, escapes and literals", () => {
    const sample = JSON.parse(
      `{"numbers": [333333333.33333329, 1E30, 4.50, 2e-3, 0.000000000000000000000000001],
        "string": "\\u20ac$\\u000F\\u000aA'\\u0042\\u0022\\u005c\\\\\\"\\/",
        "literals": [null, true, false]}`,
    );
    expect(canonicalOf(sample)).toBe(
      '{"literals":[null,true,false],"numbers":[333333333.3333333,1e+30,4.5,0.002,1e-27],"string":"€$\\u000f\\nA\'B\\"\\\\\\\\\\"/"}',
    );
  });

  // RFC 8785, 3.2.3: keys go by UTF-16 code units (memory; the order follows from the code units themselves).
  it("sorts keys as RFC 8785 does", () => {
    const keys = ["\u20ac", "\r", "\ufb33", "1", "\ud83d\ude00", "\u0080", "\u00f6"];
    const sorted = ["\r", "1", "\u0080", "\u00f6", "\u20ac", "\ud83d\ude00", "\ufb33"];
    const text = canonicalOf(Object.fromEntries(keys.map((key) => [key, 0])));
    expect(text).toBe(`{${sorted.map((key) => `${JSON.stringify(key)}:0`).join(",")}}`);
  });

  it("holds no number that JSON can't tell", () => {
    for (const number of [Number.NaN, Infinity, -Infinity])
      expect(() => canonicalOf({ number })).toThrow(RangeError);
  });
});

describe("the hash", () => {
  // FIPS 180-4 test vectors of NIST, "abc" and the 448-bit message (memory, recomputed by another implementation).
  it.each([
    ["abc", "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"],
    [
      "abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq",
      "248d6a61d20638b8e5c026930c3e6039a33ce45964ff2167f6ecedd419db06c1",
    ],
  ])("is SHA-256 as published: %s", (message, hash) => {
    expect(bytesToHex(sha256(utf8ToBytes(message)))).toBe(hash);
    expect(createHash("sha256").update(message).digest("hex")).toBe(hash);
  });

  it("is over the line's text without the hash, as any tool can reckon it", () => {
    for (const text of RECORD) {
      const { hash } = JSON.parse(text) as RecordLine;
      const without = text.replace(`"hash":"${hash}",`, "");
      expect(createHash("sha256").update(without).digest("hex")).toBe(hash);
    }
  });
});

describe("a record", () => {
  it("holds, and replays to the run that wrote it", () => {
    const verified = verifyRecord(RECORD);
    if (!verified.ok) throw new Error(verified.problem.message);
    const replayed = replayRecord(FAN, verified.lines);
    expect(replayed).toMatchObject({
      ok: true,
      run: { path: WALKED.path, minutes: WALKED.minutes, end: "fixed" },
    });
  });

  it("shows every single byte that is changed", () => {
    const bytes = Buffer.from(RECORD.join("\n"));
    fc.assert(
      fc.property(fc.nat(bytes.length - 1), fc.integer({ min: 1, max: 255 }), (place, change) => {
        const changed = Buffer.from(bytes);
        changed[place] = (changed[place] ?? 0) ^ change;
        expect(verifyRecord(changed.toString("utf8").split("\n")).ok).toBe(false);
      }),
      { numRuns: 500 },
    );
  });

  it("shows the same JSON written in another way", () => {
    const [opening = ""] = recordOf("run-\u0001", []);
    expect(opening).toContain("\\u0001");
    const remark = { type: "remark", at: OPENED, text: "\u001f" } as const;
    const [first = "", second = ""] = recordOf("run-1", [remark]);
    expect(verifyRecord([first, second]).ok).toBe(true);
    for (const other of [
      second.replace("\\u001f", "\\u001F"),
      second.replace('{"at"', '{ "at"'),
      second.replace('"seq":1', '"seq":1.0'),
      second.replace('"type":"remark"', '"type":"stop","type":"remark"'),
      `${second}\r`,
      `\ufeff${second}`,
    ])
      expect(verifyRecord([first, other])).toMatchObject({ ok: false, problem: { line: 2 } });
  });

  it("shows lines lost inside, put in, doubled, swapped, or of another run", () => {
    const other = recordOf("run-2", WALKED.events);
    const lines = [...RECORD];
    const at = (index: number) => lines[index] ?? "";
    for (const [what, changed] of [
      ["lost", lines.toSpliced(2, 1)],
      ["first lost", lines.slice(1)],
      ["doubled", lines.toSpliced(2, 0, at(2))],
      ["swapped", lines.with(2, at(3)).with(3, at(2))],
      ["another run's", lines.with(2, other[2] ?? "")],
      ["another run's whole tail", [...lines.slice(0, 2), ...other.slice(2)]],
      ["empty", lines.with(2, "")],
      ["nothing", []],
    ] as const)
      expect([what, verifyRecord(changed).ok]).toEqual([what, false]);
  });

  it("can't show that its end is missing: what is there still holds", () => {
    expect(verifyRecord(RECORD.slice(0, 3)).ok).toBe(true);
  });

  it("begins with its opening and has no other, and tells only moments that there are", () => {
    const first = JSON.parse(RECORD[0] ?? "") as RecordLine;
    const seal = (body: object) => {
      const { hash: _, ...rest } = { ...first, ...body };
      return writeLine({
        ...rest,
        hash: createHash("sha256")
          .update(writeLine(rest as RecordLine))
          .digest("hex"),
      });
    };
    expect(parseRecordLine(seal({})).ok).toBe(true);
    expect(parseRecordLine(seal({ seq: 1 }))).toMatchObject({ problem: { code: "not-record" } });
    expect(parseRecordLine(seal({ type: "remark", payload: { text: "" } }))).toMatchObject({
      problem: { code: "not-record" },
    });
    expect(parseRecordLine(seal({ at: "2026-13-41T25:61:61Z" }))).toMatchObject({
      problem: { code: "not-record" },
    });
  });

  it("gives back any text as it was typed, lone surrogates included", () => {
    const before = openingLine(FAN, { run: "run-1", at: OPENED }, "tests 1");
    fc.assert(
      fc.property(fc.string({ unit: "binary" }), fc.string(), (reason, text) => {
        const broken = `${reason}\ud83d`;
        for (const event of [
          { type: "cannot", at: OPENED, step: "hot", reason: broken },
          { type: "remark", at: OPENED, text },
        ] as const) {
          const line = writeLine(eventLine(before, event, "hot"));
          // As it goes through a file: UTF-8 and back.
          const parsed = parseRecordLine(Buffer.from(line, "utf8").toString("utf8"));
          if (!parsed.ok) throw new Error(parsed.problem.message);
          expect(eventOf(parsed.line)).toEqual(event);
        }
      }),
      { numRuns: 200 },
    );
  });

  it("may tell an earlier time than the line before: clocks are set, and the chain gives the order", () => {
    const lines = recordOf("run-1", [
      { type: "remark", at: OPENED + 5000, text: "later" },
      { type: "remark", at: OPENED - 5000, text: "earlier" },
    ]);
    expect(verifyRecord(lines).ok).toBe(true);
  });
});

describe("time", () => {
  it("that no record can hold is refused before it is written", () => {
    const job = new Job(FAN);
    for (const at of [Number.NaN, Infinity, 1.5, 8.64e15 + 1]) {
      job.now = at - 60_000;
      expect(job.tryTo({ type: "remark", text: "" })).toEqual({ code: "bad-time" });
    }
    job.now = OPENED;
    job.say("hot", "yes").ready();
    for (const waited of [Number.NaN, Infinity, -1])
      expect(job.tryTo({ type: "reading", step: "feed", reading: "1", waited })).toEqual({
        code: "bad-time",
      });
    expect(job.run.events.every((event) => Number.isInteger(event.at))).toBe(true);
  });
});
