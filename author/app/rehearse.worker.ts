/** Rehearses off the page's thread. The page ends the worker where it is to stop. */
import { rehearsalReport } from "../../engine/audit/rehearsal-report.ts";
import { bulkProcedure } from "../../engine/reasoning/bulk-procedure.ts";
import { expectedRun } from "../../engine/reasoning/expected-run.ts";
import { rehearsal } from "../../engine/reasoning/rehearse.ts";
import { notReckonedText } from "../../runner/kit/not-reckoned-text.ts";
import type { RehearseNews, RehearseRequest } from "./rehearse-message.ts";

/** Runs between two news: a tenth of a second or so. */
const PART = 20_000;
/** States looked at for the exact minutes: a second or so. */
const MOST_STATES = 40_000;

addEventListener("message", ({ data }: MessageEvent<RehearseRequest>) => {
  const { procedure, setting, runs } = data;
  const bulk = bulkProcedure(procedure);
  const rehearsed = rehearsal(bulk, setting);
  const tell = (news: RehearseNews) => postMessage(news);
  for (let from = 0; from < runs; from += PART) {
    rehearsed.run(from, Math.min(runs, from + PART));
    tell({ report: rehearsalReport(bulk, rehearsed.counts), last: false });
  }
  const exact = expectedRun(bulk, { slips: setting.slips, mostStates: MOST_STATES });
  tell({
    report: rehearsalReport(bulk, rehearsed.counts),
    ...(exact.ok ? { exactMinutes: exact.minutes } : { notReckoned: notReckonedText(exact.why) }),
    last: true,
  });
});
