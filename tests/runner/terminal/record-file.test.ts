import { readFileSync, writeFileSync } from "node:fs";
import { afterAll, describe, expect, it } from "vitest";
import type { RunEvent } from "../../../engine/machine/event.ts";
import { loadProcedure } from "../../../engine/procedure/load.ts";
import type { Procedure } from "../../../engine/procedure/model.ts";
import { createRecord, readRecord, reopenRecord } from "../../../runner/terminal/record-file.ts";
import { scratch } from "./program.ts";

const files = scratch();
afterAll(files.remove);
const procedure = fixture();
const REMARK: RunEvent = { type: "remark", at: 1_770_000_000_000, text: "two bytes: é, four: 😀" };

function fixture(): Procedure {
  const text = readFileSync(new URL("./trees/horn-stays-silent.yaml", import.meta.url), "utf8");
  const alone = { procedure: () => undefined, equipment: () => undefined };
  const loaded = loadProcedure(text, "horn-stays-silent.yaml", alone);
  if (loaded.procedure === undefined) throw new Error("the fixture does not link");
  return loaded.procedure;
}

/** A record of an opening and two remarks, closed. */
function written(name: string): string {
  const file = files.path(name);
  const created = createRecord(file, procedure, { run: "run-1", at: 1_770_000_000_000 });
  if (!created.ok) throw new Error(created.error.message);
  expect(created.value.append(REMARK, "silent")).toBe(true);
  expect(created.value.append(REMARK, "silent")).toBe(true);
  created.value.close();
  return file;
}

/** The lines a record is taken up with, or the code of its refusal. */
function reopened(file: string): number | string {
  const again = reopenRecord(file);
  if (!again.ok) return again.error.code;
  again.value.record.close();
  return again.value.lines.length;
}

describe("a record that a crash cut off", () => {
  it("is taken up with every whole line, wherever in its last line the cut is", () => {
    const whole = readFileSync(written("whole.jsonl"));
    const last = whole.lastIndexOf(0x0a, whole.length - 2) + 1;
    for (let length = last + 1; length < whole.length - 1; length += 7) {
      const file = files.path(`cut-${length}.jsonl`, whole.subarray(0, length));
      expect(reopened(file)).toBe(2);
      expect(readFileSync(file)).toEqual(whole.subarray(0, last));
      expect(readFileSync(`${file}.cut`)).toEqual(whole.subarray(last, length));
    }
  });

  it("keeps a last line that lacks nothing but its line end", () => {
    const file = written("no-end.jsonl");
    const whole = readFileSync(file);
    writeFileSync(file, whole.subarray(0, -1));
    expect(reopened(file)).toBe(3);
    expect(readFileSync(file)).toEqual(whole);
  });

  it("drops the zeros that a power cut leaves at the end", () => {
    const file = written("zeros.jsonl");
    const whole = readFileSync(file);
    writeFileSync(file, Buffer.concat([whole, Buffer.alloc(512)]));
    expect(reopened(file)).toBe(3);
    expect(readFileSync(file)).toEqual(whole);
  });

  it("goes on after the cut with a chain that holds", () => {
    const file = written("goes-on.jsonl");
    writeFileSync(file, readFileSync(file).subarray(0, -20));
    const again = reopenRecord(file);
    if (!again.ok) throw new Error(again.error.message);
    again.value.record.append(REMARK, "silent");
    again.value.record.close();
    expect(readRecord(file)).toMatchObject({ ok: true, value: { length: 3 } });
  });

  it("begins anew where nothing but a piece of its opening line was written, and keeps the piece", () => {
    const piece = readFileSync(written("opening.jsonl")).subarray(0, 40);
    const file = files.path("piece.jsonl", piece);
    const created = createRecord(file, procedure, { run: "run-2", at: 1_770_000_000_000 });
    expect(created.ok).toBe(true);
    if (created.ok) created.value.close();
    expect(reopened(file)).toBe(1);
    expect(readFileSync(`${file}.cut`)).toEqual(piece);
  });
});

describe("a record that was changed", () => {
  it("is refused, and not a byte of it dropped, where a line before the last is broken", () => {
    const file = written("middle.jsonl");
    const broken = readFileSync(file, "utf8").replace('"text":"two', '"text":"too');
    writeFileSync(file, broken);
    expect(reopened(file)).toBe("wrong-hash");
    expect(readFileSync(file, "utf8")).toBe(broken);
  });

  it("is refused where its last line is whole and was changed", () => {
    const file = written("last.jsonl");
    const text = readFileSync(file, "utf8");
    const at = text.lastIndexOf('"text":"two');
    const changed = `${text.slice(0, at)}"text":"too${text.slice(at + '"text":"two'.length)}`;
    writeFileSync(file, changed);
    expect(reopened(file)).toBe("wrong-hash");
    expect(readFileSync(file, "utf8")).toBe(changed);
  });

  it("is not made out of somebody else's file", () => {
    const file = files.path("notes.txt", "somebody's notes");
    const created = createRecord(file, procedure, { run: "run-3", at: 1_770_000_000_000 });
    expect(created).toMatchObject({ ok: false, error: { code: "record-exists" } });
    expect(reopened(file)).toBe("not-json");
    expect(readFileSync(file, "utf8")).toBe("somebody's notes");
  });
});

describe("the lock of a record", () => {
  it("keeps a second writer out until the first is done", () => {
    const file = written("locked.jsonl");
    const first = reopenRecord(file);
    if (!first.ok) throw new Error(first.error.message);
    expect(reopened(file)).toBe("record-in-use");
    first.value.record.close();
    expect(reopened(file)).toBe(3);
  });

  it("of a process that is gone, or cut off while it was written, is taken over", () => {
    const file = written("stale.jsonl");
    for (const stale of ["", '{"pid":', JSON.stringify({ pid: 2 ** 22 + 1, host: "", began: "1" })]) {
      const holder = stale.replace('"host":""', `"host":${JSON.stringify(hostOf(file))}`);
      writeFileSync(`${file}.lock`, holder);
      expect(reopened(file)).toBe(3);
    }
  });

  it("of another machine is never taken over", () => {
    const file = written("elsewhere.jsonl");
    writeFileSync(`${file}.lock`, JSON.stringify({ pid: 1, host: "another-bench", began: "1" }));
    expect(reopened(file)).toBe("record-in-use");
  });

  it("of a number that another process has by now is taken over", () => {
    const file = written("used-again.jsonl");
    const holder = { pid: process.pid, host: hostOf(file), began: "long ago" };
    writeFileSync(`${file}.lock`, JSON.stringify(holder));
    expect(reopened(file)).toBe(3);
  });
});

/** The host as a lock names it. */
function hostOf(file: string): string {
  const again = reopenRecord(file);
  if (!again.ok) throw new Error(again.error.message);
  const { host } = JSON.parse(readFileSync(`${file}.lock`, "utf8")) as { host: string };
  again.value.record.close();
  return host;
}
