import { type RefObject, useEffect, useState } from "react";

/** More of the screen than this would leave no room to read what the acts are about. */
const LARGEST_SHARE = 0.72;

/** How acts stand at the bottom of the screen. */
export interface Standing {
  /** Low enough to stay in sight; large text or a small screen let them scroll with the card. */
  readonly stays: boolean;
  /** Text goes on beneath them. */
  readonly covers: boolean;
}

/** Follows the size of the acts, of the screen, and how far the card is scrolled. */
export function useStaysInSight(acts: RefObject<HTMLElement | null>): Standing {
  const [standing, setStanding] = useState<Standing>({ stays: true, covers: false });
  useEffect(() => {
    const element = acts.current;
    if (element === null) return;
    const measure = () => {
      const { scrollHeight } = document.documentElement;
      const stays = element.offsetHeight <= window.innerHeight * LARGEST_SHARE;
      const covers = stays && window.scrollY + window.innerHeight < scrollHeight - 4;
      setStanding((before) =>
        before.stays === stays && before.covers === covers ? before : { stays, covers },
      );
    };
    const observer = new ResizeObserver(measure);
    observer.observe(element);
    observer.observe(document.body);
    addEventListener("resize", measure);
    addEventListener("scroll", measure, { passive: true });
    return () => {
      observer.disconnect();
      removeEventListener("resize", measure);
      removeEventListener("scroll", measure);
    };
  }, [acts]);
  return standing;
}
