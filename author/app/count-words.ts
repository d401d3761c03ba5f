import type { ListedFinding } from "./check-message.ts";

/** Returns how many things there are to mend and to consider, in words: `1 thing to mend, 2 to consider`. */
export function countWords(
  findings: readonly Pick<ListedFinding, "finding" | "placed" | "follows">[],
): string {
  const direct = findings.filter(({ follows }) => !follows);
  const count = (severity: string) => direct.filter(({ finding }) => finding.severity === severity).length;
  const mend = count("error");
  const consider = count("warning");
  const open = direct.filter(({ placed }) => placed.notProven).length;
  const note = count("note") - open;
  const parts = [
    ...(mend > 0 ? [`${mend} ${things(mend)} to mend`] : []),
    ...(consider > 0 ? [`${consider} ${mend > 0 ? "" : `${things(consider)} `}to consider`] : []),
    ...(open > 0 ? [`${open} not proven`] : []),
    ...(note > 0 ? [`${note} ${note === 1 ? "note" : "notes"}`] : []),
  ];
  return parts.length === 0 ? "Nothing to mend" : parts.join(", ");
}

function things(count: number): string {
  return count === 1 ? "thing" : "things";
}
