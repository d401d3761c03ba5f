import { createContext, useContext } from "react";
import { openBrowserRunStore } from "../session/browser-run-store.ts";
import { type LineSender, startLineSender } from "../session/line-sender.ts";
import { openMemoryRunStore } from "../session/memory-run-store.ts";
import { openRunNews, type RunNews } from "../session/run-news.ts";
import type { RunStore } from "../session/run-store.ts";
import { openShopServer, type ShopServer } from "../session/shop-server.ts";

/** What the screens act through. */
export interface Services {
  readonly store: RunStore;
  /** Runs outlive the page. False in a browser that keeps nothing: the screen has to say so. */
  readonly lasting: boolean;
  readonly server: ShopServer;
  readonly sender: LineSender;
  readonly news: RunNews;
  /** Told when lines reached the server. */
  readonly onSent: (listener: () => void) => () => void;
  /** Whether something is kept here that the server could not be reached for. */
  readonly isCutOff: () => boolean;
  readonly onCutOff: (listener: () => void) => () => void;
}

export async function openServices(): Promise<Services> {
  const opened = await openBrowserRunStore().then(
    (store) => ({ store, lasting: true }),
    () => ({ store: openMemoryRunStore(), lasting: false }),
  );
  const server = openShopServer();
  const sent = openListeners();
  const reach = openListeners();
  let cutOff = false;
  const sender = startLineSender(opened.store, server, sent.tell, (reached) => {
    if (cutOff === !reached) return;
    cutOff = !reached;
    reach.tell();
  });
  addEventListener("online", sender.wake);
  sender.wake();
  return {
    ...opened,
    server,
    sender,
    news: openRunNews(),
    onSent: sent.listen,
    isCutOff: () => cutOff,
    onCutOff: reach.listen,
  };
}

function openListeners() {
  const listeners = new Set<() => void>();
  return {
    tell: () => {
      for (const listener of listeners) listener();
    },
    listen: (listener: () => void) => {
      listeners.add(listener);
      return () => listeners.delete(listener);
    },
  };
}

export const ServicesContext = createContext<Services | undefined>(undefined);

export function useServices(): Services {
  const services = useContext(ServicesContext);
  if (services === undefined) throw new Error("no services around this screen");
  return services;
}
