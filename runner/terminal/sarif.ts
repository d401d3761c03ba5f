/**
 * Findings as a log for code review: Static Analysis Results Interchange Format (SARIF) 2.1.0, OASIS Standard,
 * 27 March 2020. Clause numbers are from memory.
 */
import { isAbsolute } from "node:path";
import { pathToFileURL } from "node:url";
import { defined } from "../../engine/procedure/defined.ts";
import { FINDING_CODES, type PlacedFinding } from "../../engine/procedure/finding.ts";
import { FINDING_MEANINGS, FINDING_MENDS } from "../../engine/procedure/finding-meanings.ts";
import { findingTitle } from "../../engine/procedure/wording.ts";
import { APP } from "../wire/app-name.ts";

/** A log file's only value (3.13): one run (3.14) with a result for each finding, in the order given. */
export function sarifLog(findings: readonly PlacedFinding[]) {
  const [name, version] = APP.split(" ");
  return {
    $schema: "https://docs.oasis-open.org/sarif/sarif/v2.1.0/errata01/os/schemas/sarif-schema-2.1.0.json",
    version: "2.1.0",
    runs: [
      {
        // A tool's component that analyses (3.18.2, 3.19), and its rules (3.49).
        tool: { driver: { name, version, rules: FINDING_CODES.map(ruleOf) } },
        // Columns are counted in UTF-16 code units (3.14.17).
        columnKind: "utf16CodeUnits",
        results: findings.map(resultOf),
      },
    ],
  };
}

function ruleOf(code: PlacedFinding["code"]) {
  return {
    id: code,
    shortDescription: { text: `${findingTitle(code)}.` },
    fullDescription: { text: FINDING_MEANINGS[code] },
    help: { text: FINDING_MENDS[code] },
  };
}

/** A result (3.27): its level is one of note, warning and error (3.27.10), as our severities are called. */
function resultOf(finding: PlacedFinding) {
  const { code, severity, message, mend, file, line, column, endLine, endColumn, witness } = finding;
  const { equipment, notProven } = finding;
  const properties = defined({ witness, equipment, notProven });
  const physicalLocation = {
    artifactLocation: { uri: uriOf(file) },
    // Lines and columns from 1, the end column one behind the last (3.30.5 to 3.30.8).
    region: { startLine: line, startColumn: column, endLine, endColumn },
  };
  return {
    ruleId: code,
    ruleIndex: FINDING_CODES.indexOf(code),
    level: severity,
    message: { text: mend === "" ? message : `${message} ${mend}` },
    locations: [{ physicalLocation }],
    // A property bag (3.8): what `run --answers` replays has no shape of its own in the standard.
    ...(Object.keys(properties).length === 0 ? {} : { properties }),
  };
}

/** A valid URI reference (3.4.3); a relative one is read from where the program was started. */
function uriOf(file: string): string {
  if (isAbsolute(file)) return pathToFileURL(file).href;
  const parts = file.replaceAll("\\", "/").split("/");
  return parts.map(encodeURIComponent).join("/");
}
