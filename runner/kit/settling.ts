import { createContext, useEffect, useState } from "react";

/** How long a card that just came takes no act, ms: the second of two quick taps was meant for the card before. */
const SETTLES = 350;

/** True for the acts of a card that just came. */
export const Settling = createContext(false);

/** Whether what uses it came only a moment ago. */
export function useSettling(): boolean {
  const [settling, setSettling] = useState(true);
  useEffect(() => {
    const timer = setTimeout(() => setSettling(false), SETTLES);
    return () => clearTimeout(timer);
  }, []);
  return settling;
}
