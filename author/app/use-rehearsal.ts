import { useCallback, useEffect, useRef, useState } from "react";
import type { RehearseNews, RehearseRequest } from "./rehearse-message.ts";

export interface Rehearsed {
  /** What was asked for: on which procedure, how many runs. */
  readonly request: RehearseRequest;
  readonly state: "running" | "done" | "stopped" | "failed";
  /** Of the runs counted so far. */
  readonly news: RehearseNews | undefined;
}

export interface RehearsalHandle {
  readonly rehearsed: Rehearsed | undefined;
  readonly begin: (request: RehearseRequest) => void;
  /** Keeps what was counted so far. */
  readonly stop: () => void;
}

/** A rehearsal in a worker of its own, one at a time. */
export function useRehearsal(): RehearsalHandle {
  const worker = useRef<Worker>(undefined);
  const [rehearsed, setRehearsed] = useState<Rehearsed>();
  const end = useCallback(() => {
    worker.current?.terminate();
    worker.current = undefined;
  }, []);
  useEffect(() => end, [end]);
  return {
    rehearsed,
    begin: (request) => {
      end();
      const made = new Worker(new URL("./rehearse.worker.ts", import.meta.url), { type: "module" });
      worker.current = made;
      setRehearsed({ request, state: "running", news: undefined });
      made.onmessage = ({ data }: MessageEvent<RehearseNews>) => {
        const done = data.report.runs >= request.runs;
        setRehearsed({ request, state: done ? "done" : "running", news: data });
        if (data.last) end();
      };
      made.onerror = () => {
        end();
        setRehearsed((now) => now && { ...now, state: "failed" });
      };
      made.postMessage(request);
    },
    stop: () => {
      end();
      setRehearsed((now) => now && { ...now, state: "stopped" });
    },
  };
}
