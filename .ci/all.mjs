// Every check of the house, one after the other, closing with a plain count.
import { spawnSync } from "node:child_process";
import { mkdtempSync, readFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { findBrowser } from "./browser.mjs";

const reports = mkdtempSync(join(tmpdir(), "probewright-tests-"));
let passed = 0;
let failed = 0;

check("format and lint", ["npx", "biome", "ci", "."]);
check("types of the engine, without DOM or Node", ["npx", "tsc", "-p", "engine"]);
check("types", ["npx", "tsc", "-p", "."]);
check("who imports whom", ["npm", "run", "--silent", "imports"]);
check("unused files, exports and packages", ["npx", "knip"]);
check("build", ["npm", "run", "--silent", "build"]);
tests("unit");
const browser = findBrowser();
if (browser === undefined) failed += 1;
else tests("browser", { PROBEWRIGHT_BROWSER: browser });

console.log(`${passed} passed, ${failed} failed`);
process.exitCode = failed === 0 ? 0 : 1;

/** One command that must end well. */
function check(name, [command, ...args]) {
  console.log(`\n== ${name}`);
  const { status } = spawnSync(command, args, { stdio: "inherit" });
  if (status === 0) passed += 1;
  else failed += 1;
  if (status !== 0) console.log(`FAILED: ${name}`);
}

/** The tests of one vitest project, each counted; a run that counted none has failed. */
function tests(project, environment = {}) {
  console.log(`\n== ${project} tests`);
  const report = join(reports, `${project}.json`);
  const args = [
    "vitest",
    "run",
    "--project",
    project,
    "--reporter=default",
    "--reporter=json",
    `--outputFile=${report}`,
  ];
  const { status } = spawnSync("npx", args, { stdio: "inherit", env: { ...process.env, ...environment } });
  const counts = countsOf(report);
  passed += counts.passed;
  failed += counts.failed;
  if (counts.passed + counts.failed === 0 || (status !== 0 && counts.failed === 0)) failed += 1;
}

function countsOf(report) {
  try {
    const { numPassedTests, numFailedTests } = JSON.parse(readFileSync(report, "utf8"));
    return { passed: numPassedTests, failed: numFailedTests };
  } catch {
    return { passed: 0, failed: 0 };
  }
}
