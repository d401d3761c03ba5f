/** `probewright audit`: how often each branch was taken, and how long it took, from the stored records. */
import type { BranchAudit, BranchCount } from "../../engine/audit/count-branches.ts";
import { auditProcedure } from "../server/audit-procedure.ts";
import { isRefusal } from "../server/refusal.ts";
import { openTrees } from "../server/trees.ts";
import { openSqliteStore } from "../store/sqlite-store.ts";
import { TREES } from "./folders.ts";
import { failUsage, type Output } from "./output.ts";

export interface AuditOptions {
  readonly data: string;
  readonly procedure?: string;
  readonly as: string;
  readonly trees?: string;
  readonly json?: boolean;
}

export async function auditCommand(options: AuditOptions, output: Output): Promise<number> {
  const asJson = options.json === true;
  if (options.as !== "table" && options.as !== "csv")
    return failUsage(
      output,
      { code: "bad-option", message: `--as ${options.as}: table or csv is known.` },
      asJson,
    );
  const opened = openSqliteStore(options.data);
  if (!opened.ok) return failUsage(output, opened.problem, asJson);
  const { store } = opened;
  try {
    const trees = openTrees(options.trees ?? TREES);
    const ids = options.procedure === undefined ? await procedureIds(trees) : [options.procedure];
    const audits: BranchAudit[] = [];
    for (const id of ids) {
      const audit = await auditProcedure({ store, trees }, id);
      if (isRefusal(audit)) return failUsage(output, audit.problem, asJson);
      audits.push(audit);
    }
    if (asJson) output.json({ procedures: audits });
    else if (options.as === "csv") printCsv(audits, output);
    else if (audits.length === 0) output.line("No procedure stands here whose branches could be counted.");
    else for (const audit of audits) printTable(audit, output);
    return 0;
  } finally {
    await store.close();
  }
}

async function procedureIds(trees: ReturnType<typeof openTrees>): Promise<readonly string[]> {
  return (await trees.list()).filter((entry) => entry.usable).map((entry) => entry.id);
}

function printTable(audit: BranchAudit, output: Output): void {
  output.line(
    `${audit.procedure}, revision ${audit.revision}: ${audit.runs} ${audit.runs === 1 ? "run" : "runs"}, ${audit.ended} ended`,
  );
  if (audit.runs === 0) return;
  for (const { end, count } of audit.ends) if (count > 0) output.line(`  ${end}: ${count}`);
  const rows = audit.branches.filter((branch) => branch.origin !== "implied" || branch.count > 0);
  const width = Math.max(...rows.map((row) => nameOf(row).length));
  output.line(`  ${"branch".padEnd(width)}  taken  share    95 %         median`);
  for (const row of rows)
    output.line(
      `  ${nameOf(row).padEnd(width)}  ${String(row.count).padStart(5)}  ${figures(row)}`.trimEnd(),
    );
}

function nameOf(row: BranchCount): string {
  return `${row.step}: ${row.outcome}`;
}

function figures({ share, interval, median }: BranchCount): string {
  if (share === undefined) return "";
  const between = interval ? `${percent(interval.low)} to ${percent(interval.high)}` : "";
  return `${percent(share)}  ${between.padEnd(12)}  ${median === undefined ? "" : `${Math.round(median)} s`}`.trimEnd();
}

function percent(share: number): string {
  return `${Math.round(share * 100)}`.padStart(3).concat(" %");
}

function printCsv(audits: readonly BranchAudit[], output: Output): void {
  output.line("procedure,revision,step,outcome,taken,share,low,high,median_seconds");
  for (const audit of audits)
    for (const row of audit.branches)
      output.line(
        [
          audit.procedure,
          audit.revision,
          row.step,
          row.outcome,
          row.count,
          row.share ?? "",
          row.interval?.low ?? "",
          row.interval?.high ?? "",
          row.median ?? "",
        ].join(","),
      );
}
