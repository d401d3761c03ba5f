/** What one tab tells the others: a run has new lines. */
export interface RunNews {
  readonly tell: (run: string) => void;
  /** Ends with the returned function. */
  readonly listen: (listener: (run: string) => void) => () => void;
}

/** News between the tabs of one browser; silent where the browser has no channel for it. */
export function openRunNews(): RunNews {
  if (typeof BroadcastChannel === "undefined")
    return { tell: () => undefined, listen: () => () => undefined };
  const channel = new BroadcastChannel("probewright-runs");
  return {
    tell: (run) => channel.postMessage(run),
    listen: (listener) => {
      const onMessage = (message: MessageEvent<unknown>) => {
        if (typeof message.data === "string") listener(message.data);
      };
      channel.addEventListener("message", onMessage);
      return () => channel.removeEventListener("message", onMessage);
    },
  };
}
