/** The real server as a process of its own, to be killed: `node … DATA TREES`; says on one line how it started. */
import { startServer } from "../../../runner/server/serve.ts";

const [data = "", trees = ""] = process.argv.slice(2);
const started = await startServer({
  port: 0,
  data,
  trees,
  web: trees,
  log: (line) => process.stderr.write(`${line}\n`),
});
process.stdout.write(`${JSON.stringify(started)}\n`);
