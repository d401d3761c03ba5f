import { useCallback, useEffect, useState } from "react";

/** The procedure that the address names, `#radiator-fan-stays-off`, and the way to another one. */
export function usePlace(): readonly [id: string | undefined, go: (id: string) => void] {
  const [id, setId] = useState(read);
  useEffect(() => {
    const changed = () => setId(read());
    addEventListener("hashchange", changed);
    return () => removeEventListener("hashchange", changed);
  }, []);
  const go = useCallback((next: string) => {
    location.hash = `#${encodeURIComponent(next)}`;
  }, []);
  return [id, go];
}

function read(): string | undefined {
  try {
    const id = decodeURIComponent(location.hash.slice(1));
    return id === "" ? undefined : id;
  } catch {
    return undefined;
  }
}
