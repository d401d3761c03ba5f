import { useSyncExternalStore } from "react";

export type Route =
  | { readonly page: "home" }
  | { readonly page: "start"; readonly procedure: string }
  | { readonly page: "run"; readonly run: string }
  | { readonly page: "report"; readonly run: string }
  | { readonly page: "traffic"; readonly procedure?: string };

/** The page that an address' hash names; anything unknown is the home page. */
export function readRoute(hash: string): Route {
  const [, page = "", id = ""] = /^#?\/?([^/]*)\/?(.*)$/.exec(hash) ?? [];
  const name = decoded(id);
  switch (page) {
    case "start":
      return name === "" ? { page: "home" } : { page: "start", procedure: name };
    case "run":
      return name === "" ? { page: "home" } : { page: "run", run: name };
    case "report":
      return name === "" ? { page: "home" } : { page: "report", run: name };
    case "traffic":
      return name === "" ? { page: "traffic" } : { page: "traffic", procedure: name };
    default:
      return { page: "home" };
  }
}

/** The hash that leads to a page. */
export function hashOf(route: Route): string {
  switch (route.page) {
    case "home":
      return "#/";
    case "start":
      return `#/start/${encodeURIComponent(route.procedure)}`;
    case "run":
    case "report":
      return `#/${route.page}/${encodeURIComponent(route.run)}`;
    case "traffic":
      return route.procedure === undefined ? "#/traffic" : `#/traffic/${encodeURIComponent(route.procedure)}`;
  }
}

export function go(route: Route): void {
  location.hash = hashOf(route);
}

/** The page now, followed as the address changes. */
export function useRoute(): Route {
  return readRoute(useSyncExternalStore(onHash, () => location.hash));
}

function onHash(listener: () => void): () => void {
  addEventListener("hashchange", listener);
  return () => removeEventListener("hashchange", listener);
}

/** A broken escape in an address is no reason to show nothing. */
function decoded(text: string): string {
  try {
    return decodeURIComponent(text);
  } catch {
    return text;
  }
}
