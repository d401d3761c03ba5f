import type { RehearsalReport } from "../../engine/audit/rehearsal-report.ts";
import type { Procedure } from "../../engine/procedure/model.ts";
import { Bar } from "../../runner/kit/bar.tsx";
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
  news: { report, exactMinutes },
}: {
  readonly procedure: Procedure;
  readonly news: RehearseNews;
}) {
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
        {report.minutesInterval
          ? ` (${report.minutesInterval.low.toFixed(1)} to ${report.minutesInterval.high.toFixed(1)})`
          : ""}
        ; 95 of 100 runs take {minutes(report.p95Minutes)} or less.
        {exactMinutes === undefined ? "" : ` In the long run, reckoned exactly: ${minutes(exactMinutes)}.`}
        {report.expectedCost
          ? ` The repairs concluded cost ${report.expectedCost.toFixed(2)} on average.`
          : ""}
      </p>
      <p className="soft rehearse-note">Figures in brackets: 95 % intervals.</p>
      <FaultTable report={report} />
      <BranchTable report={report} procedure={procedure} />
    </section>
  );
}

function FaultTable({ report }: { readonly report: RehearsalReport }) {
  return (
    <table>
      <caption>By fault</caption>
      <thead>
        <tr>
          <th scope="col">Fault</th>
          <th scope="col">Runs</th>
          <th scope="col">Right</th>
          <th scope="col">Wrong</th>
          <th scope="col">None</th>
          <th scope="col">Minutes</th>
          <th scope="col">Cost</th>
        </tr>
      </thead>
      <tbody>
        {report.perFault.map((fault) => (
          <tr key={fault.fault}>
            <th scope="row">{fault.title}</th>
            <td>{fault.runs.toLocaleString("en")}</td>
            <td>{share(fault.isolated, fault.runs)}</td>
            <td>{share(fault.wrong, fault.runs)}</td>
            <td>{share(fault.unresolved, fault.runs)}</td>
            <td>{fault.expectedMinutes?.toFixed(1) ?? "–"}</td>
            <td>{fault.expectedCost?.toFixed(0) ?? "–"}</td>
          </tr>
        ))}
      </tbody>
    </table>
  );
}

function BranchTable({
  report,
  procedure,
}: {
  readonly report: RehearsalReport;
  readonly procedure: Procedure;
}) {
  return (
    <table>
      <caption>By branch, of the runs that took it</caption>
      <thead>
        <tr>
          <th scope="col">Branch</th>
          <th scope="col">Runs</th>
          <th scope="col">Right</th>
          <th scope="col">Wrong</th>
          <th scope="col">None</th>
          <th scope="col">Minutes</th>
        </tr>
      </thead>
      <tbody>
        {report.perBranch.map((branch) => (
          <tr key={`${branch.step}:${branch.outcome}:${branch.else ?? ""}`}>
            <th scope="row">
              {wayWords(procedure, branch)}
              {branch.else ? ", used up" : ""}
            </th>
            <td>{branch.runs.toLocaleString("en")}</td>
            <td>{share(branch.isolated, branch.runs)}</td>
            <td>{share(branch.wrong, branch.runs)}</td>
            <td>{share(branch.unresolved, branch.runs)}</td>
            <td>{branch.expectedMinutes?.toFixed(1) ?? "–"}</td>
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
