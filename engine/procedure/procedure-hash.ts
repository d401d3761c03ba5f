import { sha256 } from "@noble/hashes/sha2.js";
import { bytesToHex, utf8ToBytes } from "@noble/hashes/utils.js";

/**
 * SHA-256 (FIPS 180-4) of a procedure's text in UTF-8, hex. With calls, each called text follows in the order of
 * the names, behind a zero byte, its name and another zero byte; without, it is the text's own.
 */
export function procedureHash(text: string, called: ReadonlyMap<string, string>): string {
  const hash = sha256.create().update(utf8ToBytes(text));
  for (const [id, other] of [...called].toSorted(([one], [two]) => (one < two ? -1 : 1))) {
    hash.update(utf8ToBytes(`\0${id}\0`)).update(utf8ToBytes(other));
  }
  return bytesToHex(hash.digest());
}
