/** Why a job with answers given by choice ends without the conclusion that its written way leads to. */
export function unprovenText(faults: readonly string[]): string {
  return `Your other answers speak against “${faults.join(", or ")}”: all together they no longer prove it. Look again, or hand it on.`;
}
