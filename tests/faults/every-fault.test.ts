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
    const { run } = walkAnswers(procedure, OPENING, answers, (event: RunEvent, step: string) => {
      last = eventLine(last, event, step);
      lines.push(writeLine(last));
    });
    const verified = verifyRecord(lines);
    if (!verified.ok) throw new Error(verified.problem.message);
    expect(replayRecord(procedure, verified.lines)).toEqual({ ok: true, run });
  });
});
