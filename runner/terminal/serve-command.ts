/** `probewright serve`: the apps and the shop's store on this machine. */
import { existsSync } from "node:fs";
import { join } from "node:path";
import { startServer } from "../server/serve.ts";
import { TREES, WEB } from "./folders.ts";
import { failUsage, type Output } from "./output.ts";

const USUAL_PORT = 4173;

export interface ServeOptions {
  /** Left out: 4173, or any free one where that is taken. */
  readonly port?: number;
  readonly data: string;
  readonly trees?: string;
  readonly json?: boolean;
}

/** Runs until it is told to end; the exit code is 2 where it could not start. */
export async function serveCommand(options: ServeOptions, output: Output): Promise<number> {
  const asJson = options.json === true;
  if (!existsSync(join(WEB, "runner", "app", "index.html")))
    return failUsage(
      output,
      { code: "not-built", message: "The pages are not built yet: run npm run build." },
      asJson,
    );
  const start = (port: number) =>
    startServer({
      port,
      data: options.data,
      trees: options.trees ?? TREES,
      web: WEB,
      log: (line) => output.warn(line),
    });
  let started = await start(options.port ?? USUAL_PORT);
  if (!started.ok && started.problem.code === "port-in-use" && options.port === undefined)
    started = await start(0);
  if (!started.ok) return failUsage(output, started.problem, asJson);
  if (asJson) output.json({ address: started.address });
  else {
    output.line(`Probewright is ready: open ${started.address}`);
    output.line(`For authors: ${started.address}/author`);
    output.line("Ctrl-C ends it; nothing that was accepted is lost.");
  }
  await new Promise<void>((resolve) => {
    process.once("SIGINT", resolve);
    process.once("SIGTERM", resolve);
  });
  await started.close();
  return 0;
}
