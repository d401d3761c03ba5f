import { readdirSync, readFileSync } from "node:fs";
import { fileURLToPath } from "node:url";
import { describe, expect, it } from "vitest";
import { readAnswers } from "../../engine/machine/answers.ts";
import type { RunEvent } from "../../engine/machine/event.ts";
import {
  eventLine,
  openingLine,
  replayRecord,
  verifyRecord,
  writeLine,
} from "../../engine/machine/record.ts";
import { walkAnswers } from "../../engine/machine/walk.ts";
import { posterior } from "../../engine/reasoning/posterior.ts";
import { SHIPPED, shippedProcedure } from "../trees.ts";

const FOLDER = fileURLToPath(new URL(".", import.meta.url));
const OPENING = { run: "run-1", at: 1_790_000_000_000 };

function answersOf(procedureId: string, file: string) {
  const procedure = shippedProcedure(procedureId);
  const name = `${FOLDER}${procedureId}/${file}`;
  const read = readAnswers(readFileSync(name, "utf8"), name, procedure);
  if (!read.ok) throw new Error(`${name}: ${JSON.stringify(read.findings)}`);
  return { procedure, answers: read.answers };
}

function filesOf(procedureId: string): readonly string[] {
  return readdirSync(`${FOLDER}${procedureId}`).filter((name) => name.endsWith(".yaml"));
}

describe.each(SHIPPED)("%s", (id) => {
  const files = filesOf(id);
  const faultOf = (file: string) => file.replace(/\.yaml$/, "").replaceAll("--", "/");

  it("has answers that lead to each of its faults", () => {
    const procedure = shippedProcedure(id);
    const wanted = [...procedure.faults.keys()];
    expect(
      files
        .filter((file) => !file.startsWith("_"))
        .map(faultOf)
        .toSorted(),
    ).toEqual(wanted.toSorted());
  });

  it.each(files.filter((file) => !file.startsWith("_")))(
    "finds the fault of %s, proven, and ends well",
    (file) => {
      const { procedure, answers } = answersOf(id, file);
      const { run, at, refusal } = walkAnswers(procedure, OPENING, answers);
      expect({ at, refusal }).toEqual({ at: undefined, refusal: undefined });
      const fault = procedure.faults.get(faultOf(file));
      expect(run.concluded).toContain(fault?.id);
      const concluded = new Set(run.concluded);
      const proof = posterior(procedure, { ...run, struck: [] })
        .faults.filter((one) => concluded.has(one.fault))
        .reduce((sum, one) => sum + one.probability, 0);
      expect(proof).toBeGreaterThanOrEqual(procedure.certainty);
      expect(run.end).toBe(fault?.repair === undefined ? "referred" : "fixed");
      expect(run.made).toEqual([]);
    },
  );

  it.each(files.filter((file) => file.startsWith("_")))("ends as %s says", (file) => {
    const { procedure, answers } = answersOf(id, file);
    const { run, at } = walkAnswers(procedure, OPENING, answers);
    expect(at).toBeUndefined();
    expect(["no-fault-found", "referred", "unresolved", "stopped", "fixed"]).toContain(run.end);
    if (file.startsWith("_not-present")) expect(run.end).toBe("no-fault-found");
    if (file.startsWith("_referred")) expect(run.end).toBe("referred");
  });

  it.each(files)("%s leaves a record that verifies and replays to the same run", (file) => {
    const { procedure, answers } = answersOf(id, file);
    let last = openingLine(procedure, OPENING, "tests");
    const lines = [writeLine(last)];
    const { run } = walkAnswers(procedure, OPENING, answers, (event: RunEvent, step: string) => {
      last = eventLine(last, event, step);
      lines.push(writeLine(last));
    });
    const verified = verifyRecord(lines);
    if (!verified.ok) throw new Error(verified.problem.message);
    expect(replayRecord(procedure, verified.lines)).toEqual({ ok: true, run });
  });
});
