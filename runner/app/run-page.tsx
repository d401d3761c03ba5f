import { useEffect, useState } from "react";
import { Button } from "../kit/button.tsx";
import "../kit/layout.css";
import "./page.css";
import { holdWriterLock, type WriterLock } from "../session/writer-lock.ts";
import { type OpenedRun, openKeptRun } from "./open-kept-run.ts";
import { go } from "./route.ts";
import { RunScreen } from "./run-screen.tsx";
import { type Services, useServices } from "./services.ts";

/** A job: loaded from what is kept here, then walked; the only tab of its run that writes, or a reader. */
export function RunPage({ run }: { readonly run: string }) {
  const services = useServices();
  const opened = useOpened(services, run);
  const { isWriter, takeOver } = useWriter(services, run, opened);
  if (opened === undefined)
    return (
      <main className="bench">
        <div className="card">
          <p className="soft" role="status">
            Opening the job.
          </p>
        </div>
      </main>
    );
  if (!opened.ok)
    return (
      <main className="bench">
        <div className="card">
          <h1>This job can't be opened</h1>
          <p>{opened.message}</p>
          <div className="acts">
            <Button onClick={() => go({ page: "home" })}>Back to the jobs</Button>
          </div>
        </div>
      </main>
    );
  return <RunScreen session={opened.session} isWriter={isWriter} onTakeOver={takeOver} />;
}

function useOpened(services: Services, run: string): OpenedRun | undefined {
  const [opened, setOpened] = useState<OpenedRun | undefined>(undefined);
  useEffect(() => {
    let current = true;
    let result: OpenedRun | undefined;
    void openKeptRun(services, run).then((next) => {
      result = next;
      if (current) setOpened(next);
      else if (next.ok) next.session.close();
    });
    return () => {
      current = false;
      if (result?.ok) result.session.close();
    };
  }, [services, run]);
  return opened;
}

function useWriter(services: Services, run: string, opened: OpenedRun | undefined) {
  const [isWriter, setWriter] = useState(true);
  const [lock, setLock] = useState<WriterLock | undefined>(undefined);
  useEffect(() => {
    let current = true;
    let held: WriterLock | undefined;
    void holdWriterLock(run, (next) => current && setWriter(next)).then((next) => {
      held = next;
      if (!current) {
        next.release();
        return;
      }
      setWriter(next.isWriter());
      setLock(next);
    });
    return () => {
      current = false;
      held?.release();
    };
  }, [run]);
  useEffect(() => {
    if (!opened?.ok) return;
    const { session } = opened;
    return services.news.listen((changed) => {
      if (changed === run) void session.catchUp();
    });
  }, [services, run, opened]);
  useEffect(() => {
    if (opened?.ok) opened.session.setWriter(isWriter);
  }, [opened, isWriter]);
  return {
    isWriter,
    takeOver: () => {
      if (opened?.ok) void lock?.takeOver().then(opened.session.catchUp);
    },
  };
}
