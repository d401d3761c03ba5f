import { useCallback, useState } from "react";
import type { Procedure } from "../../engine/procedure/model.ts";
import { Bar } from "../kit/bar.tsx";
import { Button } from "../kit/button.tsx";
import { END_TITLES } from "../kit/end-titles.ts";
import { outcomeWords } from "../kit/trail-items.ts";
import "../kit/verdict.css";
import { linkTexts } from "../session/link-texts.ts";
import type { Answer } from "../session/shop-server.ts";
import type { ProcedureEntry } from "../wire/procedures.ts";
import { parseAudit, type ShownAudit, type ShownBranch } from "./audit-shape.ts";
import { PageHead } from "./page-head.tsx";
import { go, hashOf } from "./route.ts";
import { useServices } from "./services.ts";
import { TableHold } from "./table-hold.tsx";
import { useLoaded } from "./use-loaded.ts";
import { durationText } from "./when-text.ts";
import "./report.css";
import "./traffic.css";

/** For the shop: which branches of a procedure were taken, how often, how long they took. */
export function TrafficPage({ procedure }: { readonly procedure?: string }) {
  const { server } = useServices();
  const [visit, setVisit] = useState(0);
  // biome-ignore lint/correctness/useExhaustiveDependencies: another visit reads again.
  const read = useCallback(() => server.listProcedures(), [server, visit]);
  const list = useLoaded(read);
  return (
    <div className="page">
      <div className="page-in">
        <PageHead />
        <main className="card page-card">
          <h1>Traffic</h1>
          {list.state === "loading" ? (
            <p className="soft" role="status">
              Fetching the procedures.
            </p>
          ) : !list.value.ok ? (
            <Unreachable answer={list.value} onAgain={() => setVisit(visit + 1)} />
          ) : list.value.value.length === 0 ? (
            <p>There are no procedures yet, so nothing was walked.</p>
          ) : (
            <Chosen entries={list.value.value} procedure={procedure ?? list.value.value[0]?.id ?? ""} />
          )}
        </main>
      </div>
    </div>
  );
}

function Unreachable({
  answer,
  onAgain,
}: {
  readonly answer: Answer<unknown> & { readonly ok: false };
  readonly onAgain: () => void;
}) {
  return (
    <>
      <p role="alert">
        {answer.code === "refused"
          ? answer.message
          : "The shop's server can't be reached. Counts are kept there, not in this browser."}
      </p>
      <Button look="plain" onClick={onAgain}>
        Try again
      </Button>
    </>
  );
}

function Chosen({
  entries,
  procedure,
}: {
  readonly entries: readonly ProcedureEntry[];
  readonly procedure: string;
}) {
  const { server } = useServices();
  const [visit, setVisit] = useState(0);
  // biome-ignore lint/correctness/useExhaustiveDependencies: another visit reads again.
  const read = useCallback(async () => {
    const [audit, texts] = await Promise.all([
      server.get(`/api/audit?procedure=${encodeURIComponent(procedure)}`, parseAudit),
      server.readTexts(procedure),
    ]);
    return { audit, linked: texts.ok ? linkTexts(texts.value, undefined) : undefined };
  }, [server, procedure, visit]);
  const loaded = useLoaded(read);
  return (
    <>
      <label className="field">
        <span className="field-label">Procedure</span>
        <select
          value={procedure}
          onChange={(change) => go({ page: "traffic", procedure: change.target.value })}
        >
          {entries.map((entry) => (
            <option key={entry.id} value={entry.id}>
              {entry.title}
            </option>
          ))}
        </select>
      </label>
      {loaded.state === "loading" ? (
        <p className="soft" role="status">
          Counting.
        </p>
      ) : loaded.value.audit.ok ? (
        <Counts audit={loaded.value.audit.value} procedure={loaded.value.linked} />
      ) : (
        <Unreachable answer={loaded.value.audit} onAgain={() => setVisit(visit + 1)} />
      )}
    </>
  );
}

function Counts({
  audit,
  procedure,
}: {
  readonly audit: ShownAudit;
  readonly procedure: Procedure | undefined;
}) {
  if (audit.runs === 0)
    return (
      <>
        <p>Nobody has walked this procedure yet.</p>
        <p className="soft">
          Counts appear here with the first job. <a href={hashOf({ page: "home" })}>Begin one</a>.
        </p>
      </>
    );
  return (
    <>
      <dl className="traffic-figures">
        <div className="traffic-figure">
          <dt>jobs begun</dt>
          <dd>{audit.runs}</dd>
        </div>
        {audit.ends
          .filter((end) => end.count > 0)
          .map((end) => (
            <div key={end.end} className="traffic-figure">
              <dt>{END_TITLES[end.end].heading.toLowerCase()}</dt>
              <dd>{end.count}</dd>
            </div>
          ))}
        {audit.medianMinutes === undefined ? null : (
          <div className="traffic-figure">
            <dt>median, opening to end</dt>
            <dd>{durationText(audit.medianMinutes * 60)}</dd>
          </div>
        )}
      </dl>
      <TableHold title="Branches">
        <table className="table">
          <caption className="unseen">
            Each branch: how often it was taken, its share of the step with a 95 % interval, and its median
            time.
          </caption>
          <thead>
            <tr>
              <th scope="col">Result</th>
              <th scope="col" className="number">
                Times
              </th>
              <th scope="col">Share</th>
              <th scope="col" className="number">
                Median
              </th>
            </tr>
          </thead>
          {bySteps(audit.branches).map(([step, branches]) => (
            <StepBranches key={step} step={step} branches={branches} procedure={procedure} />
          ))}
        </table>
      </TableHold>
      <p className="soft">
        The bar is the share of a step's results; the thin line is what the share may be in the long run (95
        %, Wilson).
      </p>
    </>
  );
}

/** Branches by step, in the order written; what nobody wrote and nobody took is left out. */
function bySteps(branches: readonly ShownBranch[]): readonly (readonly [string, readonly ShownBranch[]])[] {
  const steps = new Map<string, ShownBranch[]>();
  for (const branch of branches) {
    if (branch.origin === "implied" && branch.count === 0) continue;
    const before = steps.get(branch.step);
    if (before === undefined) steps.set(branch.step, [branch]);
    else before.push(branch);
  }
  return [...steps];
}

function StepBranches({
  step,
  branches,
  procedure,
}: {
  readonly step: string;
  readonly branches: readonly ShownBranch[];
  readonly procedure: Procedure | undefined;
}) {
  const written = procedure?.steps.get(step);
  return (
    <tbody>
      <tr className="traffic-step">
        <th scope="rowgroup" colSpan={4}>
          {written?.title ?? step}
          {branches.some((branch) => branch.origin === "gone") ? (
            <span className="soft"> · partly gone from the procedure</span>
          ) : null}
        </th>
      </tr>
      {branches.map((branch) => (
        <Branch key={branch.outcome} branch={branch} words={outcomeWords(written, branch.outcome)} />
      ))}
    </tbody>
  );
}

function Branch({ branch, words }: { readonly branch: ShownBranch; readonly words: string }) {
  const { interval } = branch;
  return (
    <tr className={branch.count === 0 ? "traffic-never" : ""}>
      <th scope="row">{words}</th>
      <td className="number">{branch.count}</td>
      <td className="traffic-bar">
        {branch.share === undefined || branch.count === 0 ? null : (
          <>
            <Bar
              share={branch.share}
              {...(interval === undefined ? {} : { interval: [interval.low, interval.high] as const })}
            />
            <span className="soft">
              {Math.round(branch.share * 100)}
              {"\u00a0"}%
              {interval === undefined
                ? ""
                : ` (${Math.round(interval.low * 100)} to ${Math.round(interval.high * 100)}\u00a0%)`}
            </span>
          </>
        )}
      </td>
      <td className="number">{branch.median === undefined ? "" : durationText(branch.median)}</td>
    </tr>
  );
}
