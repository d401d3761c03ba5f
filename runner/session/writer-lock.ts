/** Of all tabs that show one run, the one that may write to it. */
export interface WriterLock {
  readonly isWriter: () => boolean;
  /** Takes the run over from whichever tab has it. */
  readonly takeOver: () => Promise<void>;
  readonly release: () => void;
}

/**
 * The lock of a run: held at once where no other tab has it. `onChange` is told when it is lost or won later.
 * Without Web Locks every tab may write; the store then refuses the second of two same lines.
 */
export async function holdWriterLock(
  run: string,
  onChange: (isWriter: boolean) => void,
): Promise<WriterLock> {
  const locks: LockManager | undefined = globalThis.navigator?.locks;
  if (locks === undefined)
    return { isWriter: () => true, takeOver: async () => undefined, release: () => undefined };
  let isWriter = false;
  let letGo: () => void = () => undefined;
  let closed = false;
  const set = (next: boolean) => {
    if (isWriter === next || closed) return;
    isWriter = next;
    onChange(next);
  };
  const hold = (options: LockOptions) =>
    new Promise<void>((decided) => {
      locks
        .request(`run ${run}`, options, (lock) => {
          set(lock !== null);
          decided();
          if (lock === null) return undefined;
          return new Promise<void>((resolve) => {
            letGo = resolve;
          });
        })
        // Another tab took it over.
        .catch(() => set(false));
    });
  await hold({ ifAvailable: true });
  return {
    isWriter: () => isWriter,
    takeOver: () => hold({ steal: true }),
    release: () => {
      closed = true;
      letGo();
    },
  };
}
