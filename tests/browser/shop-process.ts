/** The built program serving in a process of its own, so that it can be killed and started again. */
import { type ChildProcess, spawn } from "node:child_process";
import { once } from "node:events";
import { createInterface } from "node:readline";
import { fileURLToPath } from "node:url";

const BIN = fileURLToPath(new URL("../../runner/terminal/bin.js", import.meta.url));

export interface ShopProcess {
  readonly address: string;
  /** SIGKILL, and the process gone. */
  readonly kill: () => Promise<void>;
}

/** `probewright serve` on that port and that data folder, ready to answer. */
export async function startShopProcess(data: string, port: number): Promise<ShopProcess> {
  const child: ChildProcess = spawn(
    process.execPath,
    [BIN, "serve", "--port", String(port), "--data", data],
    { stdio: ["ignore", "pipe", "inherit"] },
  );
  if (child.stdout === null) throw new Error("the server has no output");
  for await (const line of createInterface({ input: child.stdout })) {
    const address = /http:\/\/127\.0\.0\.1:\d+/.exec(line)?.[0];
    if (address !== undefined)
      return {
        address,
        kill: async () => {
          if (child.exitCode !== null || child.signalCode !== null) return;
          const gone = once(child, "exit");
          child.kill("SIGKILL");
          await gone;
        },
      };
  }
  throw new Error("the server did not start");
}
