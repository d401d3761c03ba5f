import type { ListedFinding } from "./check-message.ts";

/** Returns how many things there are to mend and to consider, in words: `1 thing to mend, 2 to consider`. */
export function countWords(findings: readonly Pick<ListedFinding, "finding">[]): string {
  const count = (severity: string) => findings.filter(({ finding }) => finding.severity === severity).length;
  const mend = count("error");
  const consider = count("warning");
  const note = count("note");
  const parts = [
    ...(mend > 0 ? [`${mend} ${mend === 1 ? "thing" : "things"} to mend`] : []),
    ...(consider > 0
      ? [`${consider} ${mend > 0 ? "" : consider === 1 ? "thing " : "things "}to consider`]
      : []),
    ...(note > 0 ? [`${note} ${note === 1 ? "note" : "notes"}`] : []),
  ];
  return parts.length === 0 ? "Nothing to mend" : parts.join(", ");
}
