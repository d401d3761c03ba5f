/* Written by `npm run generate` from the schemas. Do not edit. */

/**
 * One line of a run record: an event, and the hash that ties it to the line before.
 */
export interface RunRecordLine {
/**
 * Number of the line in the run, from 0.
 */
seq: number
/**
 * When, ISO 8601 in UTC.
 */
at: string
/**
 * The run's name.
 */
run: string
/**
 * The step it belongs to, where it belongs to one.
 */
step: (string | null)
/**
 * What happened.
 */
type: ("opened" | "fact" | "specification" | "set-up" | "acknowledge" | "answer" | "reading" | "choose" | "done" | "cannot" | "stop" | "amend" | "remark")
/**
 * What was done, by type.
 */
payload: {
[k: string]: unknown
}
/**
 * Hash of the line before; zeros at the first.
 */
previous: string
/**
 * SHA-256 of this line without its hash.
 */
hash: string
}
