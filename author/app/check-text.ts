/** The whole check of one text, as the worker runs it: pure, so that it can be tested without one. */
import { layEquipment } from "../../engine/procedure/equipment.ts";
import { keepUnchanged } from "../../engine/procedure/keep-unchanged.ts";
import { loadProcedure, usable } from "../../engine/procedure/load.ts";
import { checkProcedure } from "../../engine/soundness/check.ts";
import { figuresOf } from "../../engine/soundness/figures.ts";
import { findMend } from "../edits/mend.ts";
import { outlineOf } from "../edits/outline.ts";
import type { CheckRequest, Report } from "./check-message.ts";
import { figureWords } from "./figure-words.ts";
import { listFindings } from "./list-findings.ts";

/**
 * Returns what is wrong with a text, its procedure as far as it could be linked, and where things stand. `before`
 * is a report on an earlier state of the text: what has not changed since is not proved again.
 */
export function checkText(
  { version, id, text, called, equipment }: CheckRequest,
  before?: Pick<Report, "procedure">,
): Report {
  const file = `${id}.yaml`;
  const loaded = loadProcedure(text, file, {
    procedure: (name) => called.get(name),
    equipment: (name) => equipment.get(name),
  });
  const { sources, sheets } = loaded;
  const procedure =
    loaded.procedure && before?.procedure
      ? keepUnchanged(before.procedure, loaded.procedure)
      : loaded.procedure;
  const laid = procedure ? sheets.map((sheet) => layEquipment(procedure, sheet)) : [];
  const withSheets = laid.map((each) => each.procedure);
  const read = [...loaded.findings, ...laid.flatMap((each) => each.findings)];
  const proven = procedure ? checkProcedure(procedure, withSheets) : [];
  const readable = !read.some(({ code, node }) => code === "not-procedure" && node.file === file);
  const document = readable ? sources.get(file)?.document : undefined;
  const repeated = read.some(({ params, node }) => params.hint === "repeated" && node.file === file);
  const outline = document && outlineOf(document);
  return {
    version,
    text,
    findings: listFindings(read, proven, sources, file, (finding, { from, to }) =>
      document ? findMend(document, text, { finding, from, to }) : undefined,
    ),
    ...(procedure ? { procedure } : {}),
    ...(outline ? { outline } : {}),
    equipment: sheets.map(({ title }) => title),
    broken: procedure === undefined || (document?.errors.length ?? 1) > 0 || repeated,
    walkable: procedure !== undefined && usable(read),
    ...(procedure ? { figures: figureWords(figuresOf(procedure)) } : {}),
  };
}
