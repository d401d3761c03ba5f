/** How far long work has come, on standard error; nothing where that is no terminal. */
export interface ProgressBar {
  readonly show: (done: number) => void;
  /** Takes the bar away again. */
  readonly clear: () => void;
}

const WIDTH = 30;

/** A bar for so many pieces of work, with the share done, the rate and the seconds left. */
export function progressBar(all: number, to: NodeJS.WriteStream = process.stderr): ProgressBar {
  if (to.isTTY !== true) return { show: () => {}, clear: () => {} };
  const begun = performance.now();
  let longest = 0;
  return {
    show: (done) => {
      const share = Math.min(1, done / Math.max(1, all));
      const seconds = (performance.now() - begun) / 1000;
      const left = share > 0 ? Math.ceil((seconds * (1 - share)) / share) : 0;
      const rate = seconds > 0 ? Math.round(done / seconds) : 0;
      const full = Math.round(share * WIDTH);
      const text = `${"█".repeat(full)}${"░".repeat(WIDTH - full)} ${Math.floor(100 * share)} %, ${rate} a second, ${left} s left, Ctrl-C stops`;
      longest = Math.max(longest, text.length);
      to.write(`\r${text.padEnd(longest)}`);
    },
    clear: () => {
      if (longest > 0) to.write(`\r${" ".repeat(longest)}\r`);
    },
  };
}

/** A word that work has begun whose length is not known; takes itself away when called. Nothing off a terminal. */
export function waitingWord(text: string, to: NodeJS.WriteStream = process.stderr): () => void {
  if (to.isTTY !== true) return () => {};
  to.write(text);
  return () => to.write(`\r${" ".repeat(text.length)}\r`);
}
