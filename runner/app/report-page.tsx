import { useCallback } from "react";
import { formatQuantity } from "../../engine/quantity/format.ts";
import { Button } from "../kit/button.tsx";
import { END_TITLES } from "../kit/end-titles.ts";
import { shareText } from "../kit/share-text.ts";
import { TorqueValue } from "../kit/torque-value.tsx";
import type { RunSession } from "../session/run-session.ts";
import { openKeptRun } from "./open-kept-run.ts";
import { PageHead } from "./page-head.tsx";
import { usePreferences } from "./preferences.ts";
import "./report.css";
import { type ReportRow, reportOf } from "./report.ts";
import { go } from "./route.ts";
import { useServices } from "./services.ts";
import { TableHold } from "./table-hold.tsx";
import { useLoaded } from "./use-loaded.ts";
import { dayText, timeText } from "./when-text.ts";

/** The close-out report of a run, for the screen and for paper. */
export function ReportPage({ run }: { readonly run: string }) {
  const services = useServices();
  const read = useCallback(() => openKeptRun(services, run), [services, run]);
  const opened = useLoaded(read);
  return (
    <div className="page report-page">
      <div className="page-in">
        <PageHead />
        <main className="card page-card narrow">
          {opened.state === "loading" ? (
            <p className="soft" role="status">
              Opening the report.
            </p>
          ) : opened.value.ok ? (
            <ReportBody session={opened.value.session} />
          ) : (
            <>
              <h1>There is no report here</h1>
              <p>{opened.value.message}</p>
              <Button onClick={() => go({ page: "home" })}>Back to the jobs</Button>
            </>
          )}
        </main>
      </div>
    </div>
  );
}

function ReportBody({ session }: { readonly session: RunSession }) {
  const { head, procedure } = session;
  const { system } = usePreferences();
  const { run } = session.actor.getSnapshot().context;
  const { hash, seq } = session.getStatus();
  const report = reportOf(procedure, run);
  return (
    <article className="report">
      <header className="report-section">
        <h1>{head.title}</h1>
        <p>{head.complaint}</p>
        <dl className="facts">
          <dt>Ended</dt>
          <dd>
            <strong>{run.end === undefined ? "Still open" : END_TITLES[run.end].heading}</strong>
            {report.endText === undefined ? null : `. ${report.endText}`}
          </dd>
          <dt>Vehicle</dt>
          <dd>
            {[head.equipmentTitle, head.unit].filter((part) => part !== undefined).join(", ") || "not given"}
          </dd>
          <dt>By</dt>
          <dd>{head.technician ?? "not given"}</dd>
          <dt>Opened</dt>
          <dd>{dayText(head.openedAt)}</dd>
          <dt>Last entry</dt>
          <dd>{dayText(head.touchedAt)}</dd>
          <dt>Work</dt>
          <dd>about {formatQuantity(Math.round(run.minutes), "min")}, by the procedure's times</dd>
        </dl>
      </header>
      <div className="report-acts">
        <Button small onClick={() => window.print()}>
          Print it
        </Button>
        {run.end === undefined ? (
          <Button small look="plain" onClick={() => go({ page: "run", run: head.run })}>
            Go on with the job
          </Button>
        ) : (
          <Button small look="plain" onClick={() => go({ page: "run", run: head.run })}>
            Put-back list
          </Button>
        )}
      </div>
      <Finding report={report} />
      <RepairsMade report={report} system={system} />
      <Rows title="Verification" rows={report.verification} />
      <PutBack report={report} system={system} />
      <Rows title="The way there" rows={report.rows} />
      <footer className="report-section">
        <h2>Record</h2>
        <p className="soft">
          Procedure {procedure.id}, revision {procedure.revision}. {seq + 1} lines, the last with this hash;
          any change to the record changes it.
        </p>
        <p className="report-hash">{hash}</p>
        <p className="report-sign">
          <span>Role and date</span>
          <span>Checked by, role and date</span>
        </p>
      </footer>
    </article>
  );
}

type ReportProps = { readonly report: ReturnType<typeof reportOf> };

function Finding({ report }: ReportProps) {
  const { faults, struck } = report;
  return (
    <section className="report-section">
      <h2>Fault</h2>
      {faults.length === 0 ? <p>No fault was proven.</p> : null}
      {faults.map((fault) => (
        <p key={fault.title}>
          <strong>{fault.title}</strong>{" "}
          <span className="soft">({shareText(fault.probability)} by the evidence)</span>
        </p>
      ))}
      {struck.length === 0 ? null : (
        <p className="soft">Repaired first and found not to be it: {struck.join("; ")}.</p>
      )}
    </section>
  );
}

function RepairsMade({ report, system }: ReportProps & { readonly system: "si" | "us" }) {
  if (report.repairs.length === 0) return null;
  return (
    <section className="report-section">
      <h2>Repair</h2>
      {report.repairs.map((repair) => (
        <div key={repair.id} className="report-section">
          <p>
            <strong>{repair.title}</strong>
            {repair.parts.length === 0
              ? null
              : `. Parts: ${repair.parts.map((part) => `${part.quantity} × ${part.part}`).join("; ")}`}
          </p>
          <ol>
            {repair.do.map((act, index) => (
              // biome-ignore lint/suspicious/noArrayIndexKey: acts have no id and never move.
              <li key={index}>
                {act.say}{" "}
                {act.torque === undefined ? null : <TorqueValue torque={act.torque} system={system} />}
              </li>
            ))}
          </ol>
        </div>
      ))}
    </section>
  );
}

function PutBack({ report, system }: ReportProps & { readonly system: "si" | "us" }) {
  if (report.putBack.length === 0) return null;
  return (
    <section className="report-section">
      <h2>Put back</h2>
      <ul>
        {report.putBack.map((item) => (
          <li key={item.setUp}>
            <span className={item.done ? "report-box report-box-done" : "report-box"} />
            {item.do}{" "}
            {item.torque === undefined ? null : <TorqueValue torque={item.torque} system={system} />}
            <strong>{item.done ? " Back." : " Not back yet."}</strong>
          </li>
        ))}
      </ul>
    </section>
  );
}

function Rows({ title, rows }: { readonly title: string; readonly rows: readonly ReportRow[] }) {
  if (rows.length === 0) return null;
  return (
    <section className="report-section report-long">
      <h2>{title}</h2>
      <TableHold title={title}>
        <table className="table">
          <thead>
            <tr>
              <th scope="col">Step</th>
              <th scope="col" className="number">
                Reading
              </th>
              <th scope="col">Result</th>
              <th scope="col" className="number">
                Time
              </th>
            </tr>
          </thead>
          <tbody>
            {rows.map((row) => (
              <tr key={`${row.seq} ${row.title}`}>
                <th scope="row">{row.title}</th>
                <td className="number">{row.reading}</td>
                <td>
                  {row.result}
                  {row.judged === "" ? null : <span className="soft"> · {row.judged}</span>}
                  {row.note === "" ? null : <span className="soft"> · {row.note}</span>}
                </td>
                <td className="number">{timeText(row.at)}</td>
              </tr>
            ))}
          </tbody>
        </table>
      </TableHold>
    </section>
  );
}
