/** A new run's name: 128 random bits as 32 hexadecimal digits. Works without a secure context. */
export function newRunId(): string {
  const bytes = crypto.getRandomValues(new Uint8Array(16));
  return Array.from(bytes, (byte) => byte.toString(16).padStart(2, "0")).join("");
}
