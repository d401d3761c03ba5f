// Every test with random cases, again and again with new seeds: `npm run soak -- ROUNDS` (5 when not said).
// It ends with the first round that fails, and prints the seed that repeats it.
import { spawnSync } from "node:child_process";
import { readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";

const rounds = Number(process.argv[2] ?? 5);
const files = readdirSync("tests", { recursive: true })
  .filter((file) => /\.test\.tsx?$/.test(file) && !file.startsWith("browser"))
  .map((file) => join("tests", file))
  .filter((file) => readFileSync(file, "utf8").includes("fc.assert"));

for (let round = 1; round <= rounds; round += 1) {
  const seed = String(Date.now() % 2 ** 31);
  console.log(`\n== round ${round} of ${rounds}: PROBEWRIGHT_SEED=${seed}`);
  const { status } = spawnSync("npx", ["vitest", "run", "--project", "unit", "--reporter=dot", ...files], {
    stdio: "inherit",
    env: { ...process.env, PROBEWRIGHT_SEED: seed },
  });
  if (status !== 0) {
    console.log(`A case failed: PROBEWRIGHT_SEED=${seed} repeats it.`);
    process.exit(1);
  }
}
console.log(`${rounds} rounds passed.`);
