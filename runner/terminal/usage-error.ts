/** What makes a command useless as it was called or given: exit 2, one line, and JSON where it was asked for. */
export interface UsageError {
  readonly code: string;
  readonly message: string;
  readonly file?: string;
  readonly line?: number;
  readonly column?: number;
}

export type Outcome<T> =
  | { readonly ok: true; readonly value: T }
  | { readonly ok: false; readonly error: UsageError };

/** The failed outcome of one reason. */
export function unusable(error: UsageError): { readonly ok: false; readonly error: UsageError } {
  return { ok: false, error };
}

/** `file:line:column: message` on one line. */
export function oneLine({ message, file, line, column }: UsageError): string {
  const place = [file, line, column].filter((part) => part !== undefined).join(":");
  return place === "" ? message : `${place}: ${message}`;
}
