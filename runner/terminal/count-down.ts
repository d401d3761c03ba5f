/** A clock on one row of the terminal, until its time is up or a key is pressed. */
import { emitKeypressEvents } from "node:readline";
import { clockText } from "../kit/clock-text.ts";
import { type Clock, Left } from "./asker.ts";
import type { Screen } from "./screen.ts";

interface Key {
  readonly name?: string;
  readonly ctrl?: boolean;
}

const BELL = "\u0007";
const ROW_ANEW = "\r\u001b[2K";

/** The seconds that really went by. Ctrl-C and `leave` throw `Left`. */
export function countDown(clock: Clock, screen: Screen, leave: AbortSignal): Promise<number> {
  const { stdin } = process;
  const began = Date.now();
  return new Promise((resolve, reject) => {
    const row = (text: string) => screen.raw(`${ROW_ANEW}${text.slice(0, screen.width())}`);
    const end = (last: string, settle: () => void, after = "\n") => {
      clearInterval(ticking);
      stdin.off("keypress", onKey);
      leave.removeEventListener("abort", onLeave);
      stdin.setRawMode(false);
      stdin.pause();
      row(last);
      screen.raw(after);
      settle();
    };
    const gone = () => (Date.now() - began) / 1000;
    const onLeave = () => end("", () => reject(new Left()));
    const onKey = (_: string, key: Key) => {
      if (key.ctrl && (key.name === "c" || key.name === "d")) onLeave();
      else end(`Stopped at ${clockText(gone() * 1000)}.`, () => resolve(gone()));
    };
    const tick = () => {
      const left = clock.seconds - gone();
      if (left <= 0) end(clock.over, () => resolve(gone()), `${BELL}\n`);
      else row(`${clock.running} ${clockText(left * 1000)}`);
    };
    const ticking = setInterval(tick, 200);
    emitKeypressEvents(stdin);
    stdin.on("keypress", onKey);
    leave.addEventListener("abort", onLeave);
    stdin.setRawMode(true);
    stdin.resume();
    tick();
  });
}
