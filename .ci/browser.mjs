// Finds a Chromium for the browser tests, and brings Debian's where none is and it may.
import { spawnSync } from "node:child_process";

const NAMES = ["chromium", "chromium-browser"];

/** The path of a browser; undefined, after saying what to do, where there is none to be had. */
export function findBrowser() {
  const known = process.env.PROBEWRIGHT_BROWSER ?? onPath();
  if (known !== undefined) return known;
  if (process.getuid?.() === 0 && has("apt-get")) {
    console.log("No Chromium found: installing Debian's.");
    run("apt-get", ["update", "-qq"]);
    run("apt-get", ["install", "-y", "-qq", "--no-install-recommends", "chromium"]);
    const installed = onPath();
    if (installed !== undefined) return installed;
  }
  console.error(
    "The browser tests need Chromium. Install it (on Debian or Ubuntu: sudo apt-get install chromium), " +
      "or say where it is: PROBEWRIGHT_BROWSER=/path/to/chromium npm test",
  );
  return undefined;
}

function onPath() {
  for (const name of NAMES) {
    const found = spawnSync("sh", ["-c", `command -v ${name}`], { encoding: "utf8" });
    if (found.status === 0) return found.stdout.trim();
  }
  return undefined;
}

function has(name) {
  return spawnSync("sh", ["-c", `command -v ${name}`]).status === 0;
}

function run(command, args) {
  spawnSync(command, args, { stdio: "inherit", env: { ...process.env, DEBIAN_FRONTEND: "noninteractive" } });
}
