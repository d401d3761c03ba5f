import { useEffect, useState } from "react";
import { Button } from "./button.tsx";
import { clockText } from "./clock-text.ts";
import "./timer.css";

/** The time now, told again every `every` ms while `running`. */
export function useNow(running: boolean, every: number): number {
  const [now, setNow] = useState(() => Date.now());
  useEffect(() => {
    if (!running) return;
    setNow(Date.now());
    const timer = setInterval(() => setNow(Date.now()), every);
    return () => clearInterval(timer);
  }, [running, every]);
  return now;
}

/** The most an energised act may last: counts down from a tap and says when to let go. */
export function LimitTimer({ seconds }: { readonly seconds: number }) {
  const [from, setFrom] = useState<number | undefined>(undefined);
  const now = useNow(from !== undefined, 200);
  const left = from === undefined ? seconds * 1000 : from + seconds * 1000 - now;
  const isOver = from !== undefined && left <= 0;
  useEffect(() => {
    if (isOver) navigator.vibrate?.([120, 80, 120]);
  }, [isOver]);
  return (
    <div className={isOver ? "timer timer-over" : "timer"}>
      <p className="timer-words" aria-live="assertive">
        {isOver ? <strong>Let go now.</strong> : `At most ${seconds} seconds at a time.`}
      </p>
      <span className="timer-left" role="timer" aria-label="Time left">
        {clockText(left)}
      </span>
      <Button look="plain" small onClick={() => setFrom(Date.now())}>
        {from === undefined ? `Time ${seconds} s` : "Time it again"}
      </Button>
    </div>
  );
}
