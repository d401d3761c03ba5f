import { type RefObject, useEffect, useState } from "react";

/** More of the screen than this would leave no room to read what the acts are about. */
const LARGEST_SHARE = 0.72;

/** Whether acts are low enough to stay at the bottom of the screen: large text or a small screen let them scroll. */
export function useStaysInSight(acts: RefObject<HTMLElement | null>): boolean {
  const [stays, setStays] = useState(true);
  useEffect(() => {
    const element = acts.current;
    if (element === null) return;
    const measure = () => setStays(element.offsetHeight <= window.innerHeight * LARGEST_SHARE);
    const observer = new ResizeObserver(measure);
    observer.observe(element);
    addEventListener("resize", measure);
    return () => {
      observer.disconnect();
      removeEventListener("resize", measure);
    };
  }, [acts]);
  return stays;
}
