/** `npm run imports`: says what breaks the import rules; fails too when it saw no module. */
import { fileURLToPath } from "node:url";
import { cruiseImports, notBelieved } from "./cruise-imports.ts";

const cruised = await cruiseImports(fileURLToPath(new URL("../..", import.meta.url)));
const doubt = notBelieved(cruised);
for (const line of doubt === undefined ? cruised.broken : [doubt]) process.stderr.write(`${line}\n`);
process.stdout.write(
  `${cruised.modules} modules, ${cruised.imports} imports, ${cruised.broken.length} broken rules\n`,
);
process.exitCode = doubt !== undefined || cruised.broken.length > 0 ? 1 : 0;
