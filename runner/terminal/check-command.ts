/** `probewright check`: every finding of the files, and the figures of those that hold. */
import type { PlacedFinding, WitnessStep } from "../../engine/procedure/finding.ts";
import { figuresOf } from "../../engine/soundness/figures.ts";
import { limitsText } from "../../engine/soundness/sample-limits.ts";
import { type CheckedFile, checkFile } from "./load-file.ts";
import { failUsage, type Output } from "./output.ts";
import { procedureFiles } from "./read-file.ts";
import { sarifLog } from "./sarif.ts";
import type { Outcome } from "./usage-error.ts";
import { writeWitnesses } from "./write-witnesses.ts";

interface CheckOptions {
  readonly json?: boolean;
  /** `sarif`, or left out. */
  readonly as?: string;
  /** The folder that witnesses are written to. */
  readonly witnessTo?: string;
}

/** The exit code: 0 without errors, 1 with, 2 where a path could not be opened. */
export function checkCommand(paths: readonly string[], options: CheckOptions, output: Output): number {
  const asJson = options.json === true;
  const asSarif = options.as === "sarif";
  if (options.as !== undefined && !asSarif) {
    const message = `--as ${options.as}: sarif is what there is; left out, lines to read.`;
    return failUsage(output, { code: "bad-option", message }, asJson);
  }
  const results = paths.flatMap((path): readonly Outcome<CheckedFile>[] => {
    const files = procedureFiles(path);
    return files.ok ? files.value.map(checkFile) : [files];
  });
  const checked = results.flatMap((result) => (result.ok ? result.value : []));
  if (!asJson && !asSarif) for (const one of checked) printFile(one, output);
  const unopened = results.flatMap((result) => (result.ok ? [] : result.error));
  if (asJson && unopened[0] !== undefined) return failUsage(output, unopened[0], true);
  for (const error of unopened) failUsage(output, error, false);
  if (unopened.length > 0) return 2;
  if (options.witnessTo !== undefined) {
    const written = writeWitnesses(checked, options.witnessTo);
    if (!written.ok) return failUsage(output, written.error, asJson);
    if (!asJson && !asSarif) for (const file of written.value) output.line(`witness: ${file}`);
  }
  if (asSarif) output.json(sarifLog(checked.flatMap(({ findings }) => findings)));
  else if (asJson) output.json({ files: checked.map(fileJson) });
  return checked.some(({ findings }) => findings.some((finding) => finding.severity === "error")) ? 1 : 0;
}

function fileJson({ file, findings, procedure }: CheckedFile) {
  return {
    file,
    findings: findings.map((finding) => ({
      code: finding.code,
      severity: finding.severity,
      message: finding.message,
      mend: finding.mend,
      file: finding.file,
      line: finding.line,
      column: finding.column,
      endLine: finding.endLine,
      endColumn: finding.endColumn,
      ...(finding.step === undefined ? {} : { step: finding.step }),
      ...(finding.equipment === undefined ? {} : { equipment: finding.equipment }),
      ...(finding.notProven === undefined ? {} : { notProven: finding.notProven }),
      ...(finding.witness === undefined ? {} : { witness: finding.witness }),
    })),
    figures: procedure ? figuresOf(procedure) : null,
  };
}

function printFile({ file, findings, procedure, sheet }: CheckedFile, output: Output): void {
  for (const finding of findings) printFinding(finding, output);
  const verdict = verdictOf(findings);
  if (sheet !== undefined)
    output.line(
      `${file}: equipment sheet, ${verdict}; check the procedures that list it to see it proved with them`,
    );
  if (procedure === undefined) return;
  const figures = figuresOf(procedure);
  output.line(
    `${file}: ${verdict}; ${figures.steps} steps, ${figures.branches} branches, ${figures.faults} faults`,
  );
}

/** `holds` only where everything is proven; beside it what there is to consider. */
function verdictOf(findings: readonly PlacedFinding[]): string {
  const count = (severity: string) => findings.filter((finding) => finding.severity === severity).length;
  const [errors, warnings] = [count("error"), count("warning")];
  const open = findings.filter(({ notProven }) => notProven).length;
  const first = errors > 0 ? `${errors} to mend` : open > 0 ? "nothing to mend" : "holds";
  return [
    first,
    ...(open > 0 ? [`${open} not proven`] : []),
    ...(warnings > 0 ? [`${warnings} to consider`] : []),
  ].join(", ");
}

function printFinding(finding: PlacedFinding, output: Output): void {
  output.line(
    `${finding.file}:${finding.line}:${finding.column}: ${finding.severity}: ${finding.message} [${finding.code}]`,
  );
  if (finding.equipment !== undefined) output.line(`    With the equipment sheet ${finding.equipment}.`);
  if (finding.mend !== "") output.line(`    ${finding.mend}`);
  if (finding.witness && finding.witness.length > 0)
    output.line(`    The way there: ${finding.witness.flatMap(rowWords).join(" → ")}`);
  const hanging = finding.witness?.find(({ hangsOn }) => hangsOn !== undefined);
  if (hanging !== undefined)
    output.line(
      `    It hangs on this at ${hanging.step}, which these values do not meet: ${hanging.hangsOn}`,
    );
}

/** A row of a way, with what a run would be told before it: `feed from 12 V to 14 V`, then `volts 10 V`. */
function rowWords({ step, outcome, reading, limits = {} }: WitnessStep): readonly string[] {
  const told = Object.entries(limits).map(([id, words]) => `${id} ${limitsText(words)}`);
  return [...told, `${step} ${reading ?? outcome}`];
}
