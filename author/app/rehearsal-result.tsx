import type { RehearsalReport } from "../../engine/audit/rehearsal-report.ts";
import type { Procedure } from "../../engine/procedure/model.ts";
import { Bar } from "../../runner/kit/bar.tsx";
import { intervalText } from "../../runner/kit/interval-text.ts";
import type { RehearseNews } from "./rehearse-message.ts";
import { wayWords } from "./way-words.ts";

const ENDINGS = [
  { key: "isolated", title: "Right fault" },
  { key: "wrong", title: "Wrong fault" },
  { key: "unresolved", title: "No fault" },
] as const;

/** How the rehearsed runs came out: as bars with words, then by fault and by branch. */
export function RehearsalResult({
  procedure,
  news: { report, exactMinutes, notReckoned },
}: {
  readonly procedure: Procedure;
  readonly news: RehearseNews;
}) {
  // Where no repair says what it costs, a column of zeros would look like an answer.
  const withCost = (report.expectedCost ?? 0) > 0;
  return (
    // biome-ignore lint/a11y/noNoninteractiveTabindex: what scrolls must be scrolled by keys, too.
    <section className="rehearse-result" aria-label="How the runs came out" tabIndex={0}>
      <ul className="rehearse-bars">
        {ENDINGS.map(({ key, title }) => {
          const interval = report.shares[key];
          return (
            <li key={key}>
              <span>{title}</span>
              <Bar
                share={report.runs === 0 ? 0 : report[key] / report.runs}
                {...(interval ? { interval: [interval.low, interval.high] as const } : {})}
              />
              <span className="rehearse-share">
                <strong>{share(report[key], report.runs)}</strong>
                {interval ? ` (${percents(interval.low)} to ${percents(interval.high)})` : ""}
              </span>
            </li>
          );
        })}
      </ul>
      <p>
        <strong>{minutes(report.expectedMinutes)}</strong> to the conclusion on average
        {intervalText(report.minutesInterval, 1)}; 95 of 100 runs take {minutes(report.p95Minutes)} or less.
        {exactMinutes === undefined ? "" : ` In the long run, reckoned exactly: ${minutes(exactMinutes)}.`}
        {notReckoned === undefined ? "" : ` The long run is not reckoned exactly: ${notReckoned}.`}
        {report.expectedCost
          ? ` The repairs concluded cost ${report.expectedCost.toFixed(2)} on average${intervalText(report.costInterval, 2)}.`
          : ""}
      </p>
      <p className="soft rehearse-note">Figures in brackets: 95 % intervals.</p>
      <CountsTable
        caption="By fault"
        first="Fault"
        rows={report.perFault.map(faultRow)}
        withCost={withCost}
      />
      <CountsTable
        withCost={withCost}
        caption="By branch, of the runs that took it"
        first="Branch"
        rows={report.perBranch.map((branch) => branchRow(procedure, branch))}
      />
    </section>
  );
}

interface CountedRow {
  readonly key: string;
  readonly name: string;
  readonly counts: RehearsalReport["perBranch"][number] | RehearsalReport["perFault"][number];
}

function faultRow(counts: RehearsalReport["perFault"][number]): CountedRow {
  return { key: counts.fault, name: counts.title, counts };
}

function branchRow(procedure: Procedure, counts: RehearsalReport["perBranch"][number]): CountedRow {
  return {
    key: `${counts.step}:${counts.outcome}:${counts.else ?? ""}`,
    name: `${wayWords(procedure, counts)}${counts.else ? ", used up" : ""}`,
    counts,
  };
}

const COLUMNS = ["Runs", "Right", "Wrong", "None", "Minutes"];

/** How runs came out, a row for each fault or branch. */
function CountsTable({
  caption,
  first,
  rows,
  withCost,
}: {
  readonly caption: string;
  readonly first: string;
  readonly rows: readonly CountedRow[];
  readonly withCost: boolean;
}) {
  return (
    <table>
      <caption>{caption}</caption>
      <thead>
        <tr>
          {[first, ...COLUMNS, ...(withCost ? ["Cost"] : [])].map((title) => (
            <th key={title} scope="col">
              {title}
            </th>
          ))}
        </tr>
      </thead>
      <tbody>
        {rows.map(({ key, name, counts }) => (
          <tr key={key}>
            <th scope="row">{name}</th>
            <td>{counts.runs.toLocaleString("en")}</td>
            <td>{share(counts.isolated, counts.runs)}</td>
            <td>{share(counts.wrong, counts.runs)}</td>
            <td>{share(counts.unresolved, counts.runs)}</td>
            <td>{counts.expectedMinutes?.toFixed(1) ?? "–"}</td>
            {withCost ? <td>{counts.expectedCost?.toFixed(0) ?? "–"}</td> : null}
          </tr>
        ))}
      </tbody>
    </table>
  );
}

function share(count: number, of: number): string {
  return of === 0 ? "–" : percents(count / of);
}

function percents(value: number): string {
  return `${(100 * value).toFixed(1)}\u00a0%`;
}

function minutes(value: number | null): string {
  return value === null ? "–" : `${value.toFixed(1)}\u00a0min`;
}
