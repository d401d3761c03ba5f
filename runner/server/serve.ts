/** Starts the shop's server on this machine. */
import { openSqliteStore } from "../store/sqlite-store.ts";
import type { Log } from "./failures.ts";
import { createServer } from "./server.ts";

export interface ServeOptions {
  /** 0 takes any free one. */
  readonly port: number;
  readonly host?: "127.0.0.1";
  /** Folder of the store; made where it is missing. */
  readonly data: string;
  /** Folder of the procedures. */
  readonly trees: string;
  /** Folder of the built pages. */
  readonly web: string;
  readonly log: Log;
}

export type Started =
  | {
      readonly ok: true;
      readonly address: string;
      /** Answers what is under way, then closes the store. */
      readonly close: () => Promise<void>;
    }
  | { readonly ok: false; readonly problem: { readonly code: string; readonly message: string } };

/** The address it answers on; or, in one line, why it cannot: `port-in-use`, `port-refused`, `data-…`. */
export async function startServer(options: ServeOptions): Promise<Started> {
  const opened = openSqliteStore(options.data);
  if (!opened.ok) return opened;
  const { store } = opened;
  const server = createServer({ ...options, store, now: Date.now });
  try {
    const address = await server.listen({ port: options.port, host: options.host ?? "127.0.0.1" });
    const close = async () => {
      await server.close();
      await store.close();
    };
    return { ok: true, address, close };
  } catch (error) {
    await server.close();
    await store.close();
    return { ok: false, problem: toProblem(error, options.port) };
  }
}

function toProblem(error: unknown, port: number): { code: string; message: string } {
  const code = error instanceof Error && "code" in error ? error.code : undefined;
  if (code === "EADDRINUSE") {
    const message = `Port ${port} is in use: another server may be running. Choose one with --port.`;
    return { code: "port-in-use", message };
  }
  if (code === "EACCES" || code === "ERR_SOCKET_BAD_PORT") {
    return { code: "port-refused", message: `Port ${port} cannot be used here. Choose one with --port.` };
  }
  const reason = error instanceof Error ? error.message : String(error);
  return { code: "not-started", message: `The server could not start: ${reason}.` };
}
