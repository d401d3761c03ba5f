/** What the page and its rehearsing worker say to each other. Plain data, so that it crosses as it is. */
import type { RehearsalReport } from "../../engine/audit/rehearsal-report.ts";
import type { Procedure } from "../../engine/procedure/model.ts";
import type { RehearsalSetting } from "../../engine/reasoning/rehearse.ts";

export interface RehearseRequest {
  readonly procedure: Procedure;
  readonly setting: RehearsalSetting;
  readonly runs: number;
}

/** How far it has come; the report is of the runs counted so far. */
export interface RehearseNews {
  readonly report: RehearsalReport;
  /** Minutes in the long run, reckoned exactly; comes behind the counts of all runs, where it can be told. */
  readonly exactMinutes?: number;
  /** Why they can't be told, as the end of a sentence. */
  readonly notReckoned?: string;
  /** Nothing comes after this. */
  readonly last: boolean;
}
