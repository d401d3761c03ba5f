/**
 * Keeps the pages and their assets in the browser, so that a reload works without network. Only the built app
 * has the worker; a new version takes over at the next visit, never in the middle of a job.
 */
export function keepPageOffline(): void {
  if (!import.meta.env.PROD || !("serviceWorker" in navigator)) return;
  // Without it the app works as before, only a reload needs the network.
  void navigator.serviceWorker.register("/offline.js", { scope: "/" }).catch(() => undefined);
}
