const MINUTE = 60_000;

/** How long ago something was, in words. */
export function agoText(at: number, now: number): string {
  const minutes = Math.floor((now - at) / MINUTE);
  if (minutes < 1) return "just now";
  if (minutes < 60) return `${minutes} min ago`;
  if (minutes < 24 * 60) return `${Math.floor(minutes / 60)} h ago`;
  return dayText(at);
}

/** A day and time as the reader's device writes them, the month in letters: 3/4 is two days. */
export function dayText(at: number): string {
  return new Intl.DateTimeFormat(undefined, {
    day: "numeric",
    month: "short",
    year: "numeric",
    hour: "2-digit",
    minute: "2-digit",
  }).format(at);
}

/** A time of day. */
export function timeText(at: number): string {
  return new Intl.DateTimeFormat(undefined, { hour: "2-digit", minute: "2-digit" }).format(at);
}

/** So many seconds in the unit that people would use. */
export function durationText(seconds: number): string {
  if (seconds < 90) return `${Math.round(seconds)}\u00a0s`;
  const minutes = Math.round(seconds / 60);
  if (minutes < 120) return `${minutes}\u00a0min`;
  return `${Math.round(minutes / 60)}\u00a0h`;
}
