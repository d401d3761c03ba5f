#!/usr/bin/env node
// The program itself is TypeScript and is built once; this only finds it.
import { existsSync } from "node:fs";

const built = new URL("../../.build/node/main.js", import.meta.url);
if (existsSync(built)) {
  const { main } = await import(built.href);
  await main(process.argv);
} else {
  process.stderr.write("probewright is not built yet: run `npm install && npm run build` in its folder.\n");
  process.exitCode = 2;
}
