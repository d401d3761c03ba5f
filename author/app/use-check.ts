import { useEffect, useRef, useState } from "react";
import type { CheckAnswer, CheckRequest, Report } from "./check-message.ts";

/** Time after the last key before the text is checked, ms. */
const PAUSE = 120;
/** A check that takes longer is given up, ms; the worker begins afresh. */
const LONGEST = 15_000;

export interface Checked {
  /** The newest report; it may be of an older text than the one in the editor. */
  readonly report: Report | undefined;
  /** A newer text than the report's is waiting or being checked. */
  readonly checking: boolean;
  /** Why the newest text has no report, as a sentence. */
  readonly trouble: string | undefined;
}

export type ToCheck = Omit<CheckRequest, "version">;

/** Checks the text in a worker as it is typed; the newest wins, answers to older texts are dropped. */
export function useCheck(toCheck: ToCheck | undefined): Checked {
  const [report, setReport] = useState<Report>();
  const [answered, setAnswered] = useState(0);
  const [trouble, setTrouble] = useState<string>();
  const checker = useRef<Checker>(undefined);
  const [asked, setAsked] = useState(0);

  useEffect(() => {
    const made = new Checker((answer, version) => {
      setAnswered(version);
      if (answer?.kind === "report") {
        setTrouble(undefined);
        setReport(answer.report);
      } else setTrouble(answer ? BROKEN : TOO_LONG);
    });
    checker.current = made;
    return () => made.end();
  }, []);

  const { id, text, called, equipment } = toCheck ?? {};
  useEffect(() => {
    if (id === undefined || text === undefined || !called || !equipment) return;
    const version = checker.current?.ask({ id, text, called, equipment });
    if (version !== undefined) setAsked(version);
  }, [id, text, called, equipment]);

  return { report, checking: answered < asked, trouble };
}

const BROKEN =
  "The check itself failed on this text. What you typed is kept; please report it with the text.";
const TOO_LONG = "The check took too long on this text and was given up. Typing on begins it again.";

/** One worker, one question at a time, the newest next. */
class Checker {
  #worker: Worker | undefined;
  #version = 0;
  #waiting: CheckRequest | undefined;
  #running: number | undefined;
  #pause: ReturnType<typeof setTimeout> | undefined;
  #limit: ReturnType<typeof setTimeout> | undefined;
  readonly #tell: (answer: CheckAnswer | undefined, version: number) => void;

  constructor(tell: (answer: CheckAnswer | undefined, version: number) => void) {
    this.#tell = tell;
  }

  ask(toCheck: ToCheck): number {
    this.#version += 1;
    this.#waiting = { ...toCheck, version: this.#version };
    clearTimeout(this.#pause);
    this.#pause = setTimeout(() => this.#next(), PAUSE);
    return this.#version;
  }

  end(): void {
    clearTimeout(this.#pause);
    this.#stop();
  }

  #next(): void {
    const request = this.#waiting;
    if (!request || this.#running !== undefined) return;
    this.#waiting = undefined;
    this.#running = request.version;
    this.#worker ??= this.#begin();
    this.#limit = setTimeout(() => this.#giveUp(request.version), LONGEST);
    this.#worker.postMessage(request);
  }

  #begin(): Worker {
    const worker = new Worker(new URL("./check.worker.ts", import.meta.url), { type: "module" });
    worker.onmessage = ({ data }: MessageEvent<CheckAnswer>) => {
      clearTimeout(this.#limit);
      const version = data.kind === "report" ? data.report.version : data.version;
      this.#running = undefined;
      if (version === this.#version) this.#tell(data, version);
      this.#next();
    };
    worker.onerror = () => {
      const version = this.#running ?? this.#version;
      this.#stop();
      this.#tell({ kind: "broken", version }, version);
      this.#next();
    };
    return worker;
  }

  #giveUp(version: number): void {
    this.#stop();
    this.#tell(undefined, version);
    this.#next();
  }

  #stop(): void {
    clearTimeout(this.#limit);
    this.#worker?.terminate();
    this.#worker = undefined;
    this.#running = undefined;
  }
}
