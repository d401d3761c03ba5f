/** `probewright explain`: what a finding means for the one who walks the procedure, and how it is mended. */
import { FINDING_CODES } from "../../engine/procedure/finding.ts";
import { FINDING_MEANINGS, FINDING_MENDS } from "../../engine/procedure/finding-meanings.ts";
import { nearest } from "../../engine/procedure/nearest.ts";
import { findingTitle } from "../../engine/procedure/wording.ts";
import { failUsage, type Output } from "./output.ts";

/** The exit code: 0, or 2 where there is no such code; the one meant is named. */
export function explainCommand(word: string, options: { readonly json?: boolean }, output: Output): number {
  const asJson = options.json === true;
  const code = FINDING_CODES.find((one) => one === word.toLowerCase());
  if (code === undefined) {
    const meant = nearest(word, FINDING_CODES);
    const known = meant === undefined ? `There are: ${FINDING_CODES.join(", ")}.` : `Did you mean ${meant}?`;
    const message = `There is no finding “${word}”. ${known}`;
    return failUsage(output, { code: "unknown-code", message }, asJson);
  }
  const [title, meaning, mend] = [findingTitle(code), FINDING_MEANINGS[code], FINDING_MENDS[code]];
  if (asJson) output.json({ code, title, meaning, mend });
  else output.show([{ text: `${code}: ${title}`, look: "strong" }, meaning, `To mend it: ${mend}`]);
  return 0;
}
