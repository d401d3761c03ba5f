/** Bytes of a file → text: strict UTF-8, in plain JavaScript because the engine knows no platform. */
import type { Finding } from "./finding.ts";

/** A larger file is not read at all. */
export const MAX_BYTES = 2 * 1024 * 1024;

/** The text of a file without its byte order mark, or the one finding that says why it is none. */
export function decodeText(
  bytes: Uint8Array,
  file: string,
): { readonly text: string } | { readonly finding: Finding } {
  if (bytes.length > MAX_BYTES) return { finding: tooLarge(file, bytes.length) };
  if (isUtf16(bytes)) return { finding: refused(file, { why: "utf-16" }) };
  if (bytes.includes(0)) return { finding: refused(file, { why: "binary" }) };
  const text = utf8Text(bytes);
  if (text === undefined) return { finding: refused(file, { why: "not-utf-8" }) };
  return { text: text.charCodeAt(0) === 0xfeff ? text.slice(1) : text };
}

/** The finding for a file of that many bytes: callers look at the size before they read. */
export function tooLarge(file: string, bytes: number): Finding {
  return refused(file, { why: "too-large", size: megabytes(bytes), limit: megabytes(MAX_BYTES) });
}

/** A `not-procedure` finding for a whole file, or for a span of it. */
export function refused(
  file: string,
  params: Finding["params"],
  span: readonly [number, number] = [0, 0],
): Finding {
  return { code: "not-procedure", severity: "error", params, node: { file, path: [] }, span };
}

function megabytes(bytes: number): number {
  return Math.round((bytes / (1024 * 1024)) * 10) / 10;
}

function isUtf16(bytes: Uint8Array): boolean {
  const [first, second] = bytes;
  return (first === 0xff && second === 0xfe) || (first === 0xfe && second === 0xff);
}

/** Undefined where the bytes are no UTF-8 (RFC 3629: no overlong forms, no surrogates, at most U+10FFFF). */
function utf8Text(bytes: Uint8Array): string | undefined {
  let text = "";
  let chunk: number[] = [];
  for (let index = 0; index < bytes.length; ) {
    const lead = bytes[index] ?? 0;
    const size = lead < 0x80 ? 1 : lead < 0xc2 ? 0 : lead < 0xe0 ? 2 : lead < 0xf0 ? 3 : lead < 0xf5 ? 4 : 0;
    if (size === 0 || index + size > bytes.length) return undefined;
    let code = size === 1 ? lead : lead & (0x7f >> size);
    for (let offset = 1; offset < size; offset += 1) {
      const next = bytes[index + offset] ?? 0;
      if (next >> 6 !== 2) return undefined;
      code = (code << 6) | (next & 0x3f);
    }
    if (code < (LEAST[size] ?? 0) || code > 0x10ffff || (code >= 0xd800 && code <= 0xdfff)) return undefined;
    chunk.push(code);
    if (chunk.length === 4096) {
      text += String.fromCodePoint(...chunk);
      chunk = [];
    }
    index += size;
  }
  return text + String.fromCodePoint(...chunk);
}

/** The least code point that needs so many bytes. */
const LEAST = [0, 0, 0x80, 0x800, 0x10000];
