/** The shop's server and a real browser for the tests and the pictures; everything temporary is taken away again. */
import { cpSync, existsSync, mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { type Browser, chromium } from "playwright-core";
import { startServer } from "../../runner/server/serve.ts";

const ROOT = fileURLToPath(new URL("../..", import.meta.url));
const CHROMIUMS = ["/usr/bin/chromium", "/usr/bin/chromium-browser"];
const FLAGS = [
  "--no-sandbox",
  "--disable-gpu",
  "--disable-quic",
  "--no-first-run",
  "--disable-background-networking",
  "--disable-component-update",
  "--disable-sync",
];

/** A headless browser; the one named in `PROBEWRIGHT_BROWSER`, else Debian's. */
export async function startBrowser(): Promise<Browser> {
  const executablePath = process.env.PROBEWRIGHT_BROWSER ?? CHROMIUMS.find((path) => existsSync(path));
  if (executablePath === undefined)
    throw new Error("No browser found. Install Debian's with: apt-get install -y chromium");
  return chromium.launch({ executablePath, args: FLAGS });
}

export interface Shop {
  readonly address: string;
  readonly data: string;
  readonly trees: string;
  readonly close: () => Promise<void>;
}

/** A shop of its own: the shipped trees with further procedures beside them, an empty store, the built pages. */
export async function startShop(further: ReadonlyMap<string, string> = new Map()): Promise<Shop> {
  const folder = mkdtempSync(join(tmpdir(), "probewright-"));
  const trees = join(folder, "trees");
  const data = join(folder, "data");
  cpSync(join(ROOT, "trees"), trees, { recursive: true });
  for (const [id, text] of further) writeFileSync(join(trees, `${id}.yaml`), text);
  const started = await startServer({
    port: 0,
    data,
    trees,
    web: join(ROOT, ".build", "web"),
    log: (line) => process.stderr.write(`${line}\n`),
  });
  if (!started.ok) throw new Error(started.problem.message);
  return {
    address: started.address,
    data,
    trees,
    close: async () => {
      await started.close();
      rmSync(folder, { recursive: true, force: true });
    },
  };
}
