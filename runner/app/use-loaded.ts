import { useEffect, useState } from "react";

export type Loaded<T> = { readonly state: "loading" } | { readonly state: "loaded"; readonly value: T };

/** What a promise gives, read again whenever `read` changes. `read` must not reject. */
export function useLoaded<T>(read: () => Promise<T>): Loaded<T> {
  const [loaded, setLoaded] = useState<Loaded<T>>({ state: "loading" });
  useEffect(() => {
    let current = true;
    void read().then((value) => {
      if (current) setLoaded({ state: "loaded", value });
    });
    return () => {
      current = false;
    };
  }, [read]);
  return loaded;
}
