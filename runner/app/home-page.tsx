import { useCallback, useEffect, useState } from "react";
import { Button } from "../kit/button.tsx";
import { END_TITLES } from "../kit/end-titles.ts";
import type { RunHead } from "../session/kept-run.ts";
import type { ProcedureEntry } from "../wire/procedures.ts";
import { PageHead } from "./page-head.tsx";
import { hashOf } from "./route.ts";
import { type Services, useServices } from "./services.ts";
import { useLoaded } from "./use-loaded.ts";
import { agoText } from "./when-text.ts";

interface Shop {
  /** Nothing where the server was never reached. */
  readonly entries: readonly ProcedureEntry[] | undefined;
  readonly offline: boolean;
}

/** Jobs to go on with, and complaints to begin one from. */
export function HomePage() {
  const services = useServices();
  const [visit, setVisit] = useState(0);
  // biome-ignore lint/correctness/useExhaustiveDependencies: another visit reads again.
  const read = useCallback(() => readShop(services), [services, visit]);
  const shop = useLoaded(read);
  const heads = useHeads(services);
  const open = heads.filter((head) => head.end === undefined);
  const ended = heads.filter((head) => head.end !== undefined).slice(0, 5);
  return (
    <div className="page">
      <div className="page-in">
        <PageHead />
        {services.lasting ? null : (
          <p className="told told-strong" role="alert">
            This browser keeps nothing: a job is lost when the page is left. Use a window that is not private.
          </p>
        )}
        <div className={heads.length === 0 ? "home home-alone" : "home"}>
          <Jobs open={open} ended={ended} />
          <main className="card page-card">
            <h1>What is wrong?</h1>
            {shop.state === "loading" ? (
              <p className="soft" role="status">
                Fetching the procedures.
              </p>
            ) : (
              <Complaints shop={shop.value} onAgain={() => setVisit(visit + 1)} />
            )}
          </main>
        </div>
      </div>
    </div>
  );
}

async function readShop({ server, store }: Services): Promise<Shop> {
  const answer = await server.listProcedures();
  if (answer.ok) {
    await store.keepShop(answer.value).catch(() => undefined);
    return { entries: answer.value, offline: false };
  }
  return { entries: await store.readShop().catch(() => undefined), offline: true };
}

function useHeads({ store, onSent, news }: Services): readonly RunHead[] {
  const [heads, setHeads] = useState<readonly RunHead[]>([]);
  useEffect(() => {
    const read = () => void store.listHeads().then(setHeads, () => undefined);
    read();
    const quiet = [onSent(read), news.listen(read)];
    return () => {
      for (const end of quiet) end();
    };
  }, [store, onSent, news]);
  return heads;
}

function Jobs({ open, ended }: { readonly open: readonly RunHead[]; readonly ended: readonly RunHead[] }) {
  if (open.length + ended.length === 0) return null;
  return (
    <aside aria-label="Jobs kept here">
      {open.length === 0 ? null : (
        <section>
          <h2 className="section-title">Jobs to go on with</h2>
          <ul className="jobs">
            {open.map((head) => (
              <li key={head.run}>
                <Job head={head} />
              </li>
            ))}
          </ul>
        </section>
      )}
      {ended.length === 0 ? null : (
        <section>
          <h2 className="section-title">Closed here lately</h2>
          <ul className="jobs">
            {ended.map((head) => (
              <li key={head.run}>
                <Job head={head} />
              </li>
            ))}
          </ul>
        </section>
      )}
    </aside>
  );
}

function Job({ head }: { readonly head: RunHead }) {
  const { run, end } = head;
  const vehicle = [head.equipmentTitle, head.unit].filter((part) => part !== undefined).join(", ");
  return (
    <a className="job" href={hashOf(end === undefined ? { page: "run", run } : { page: "report", run })}>
      <span className="job-words">
        <strong>{head.title}</strong>
        <span className="soft">
          {vehicle === "" ? "" : `${vehicle} · `}
          {end === undefined ? agoText(head.touchedAt, Date.now()) : END_TITLES[end].heading}
          {head.refused === undefined
            ? head.sentSeq < head.lastSeq
              ? " · not sent yet"
              : ""
            : " · not taken by the shop"}
        </span>
      </span>
      <span className="job-go">{end === undefined ? "Go on" : "Report"}</span>
    </a>
  );
}

function Complaints({ shop, onAgain }: { readonly shop: Shop; readonly onAgain: () => void }) {
  const { entries, offline } = shop;
  if (entries === undefined)
    return (
      <>
        <p>The shop's server can't be reached, and this browser has no procedures kept yet.</p>
        <p className="soft">See that it runs and that this device is on its network.</p>
        <Button onClick={onAgain}>Try again</Button>
      </>
    );
  if (entries.length === 0)
    return (
      <>
        <p>There are no procedures yet.</p>
        <p className="soft">
          Write the first one under <a href="/author">Write procedures</a>, or put a file into the shop's
          folder.
        </p>
        <Button look="plain" onClick={onAgain}>
          Look again
        </Button>
      </>
    );
  return (
    <>
      {offline ? (
        <p className="soft" role="status">
          No network: these are the procedures as last seen. A job works all the same and is sent later.{" "}
          <Button look="quiet" onClick={onAgain}>
            Try again
          </Button>
        </p>
      ) : null}
      <ul className="rows">
        {entries.map((entry) => (
          <li key={entry.id}>
            <Complaint entry={entry} />
          </li>
        ))}
      </ul>
    </>
  );
}

function Complaint({ entry }: { readonly entry: ProcedureEntry }) {
  const vehicles = entry.equipment.map((one) => one.title).join(", ");
  const words = (
    <>
      <span className="row-title">{entry.title}</span>
      <span>{entry.complaint}</span>
      <span className="soft">
        {vehicles === "" ? "Any vehicle" : vehicles}
        {entry.usable ? "" : " · has errors, its author must mend it first"}
      </span>
    </>
  );
  if (!entry.usable) return <div className="row row-out">{words}</div>;
  return (
    <a className="row" href={hashOf({ page: "start", procedure: entry.id })}>
      {words}
    </a>
  );
}
