import { useCallback, useEffect, useMemo, useRef, useState } from "react";
import { drawPicture, readColours } from "./draw.ts";
import { AT_MOST, AT_ONCE, drawingLoad } from "./drawing-load.ts";

/** What mermaid is given, and which of its boxes is which step. */
export interface DrawingText {
  readonly text: string;
  /** The step behind a node, by the id of its element. */
  readonly stepOf: (nodeId: string) => string | undefined;
}

/** A drawing that was made, with the steps of its boxes. */
interface Picture {
  readonly svg: string;
  readonly of: DrawingText;
}

export interface PictureState {
  /** The last drawing that could be made. */
  readonly picture: Picture | undefined;
  /**
   * Why the newest is not drawn: `large` waits to be asked, since the page stands still meanwhile; `too-large`
   * is never drawn; `failed` could not be.
   */
  readonly trouble: "large" | "too-large" | "failed" | undefined;
  /** About how long the drawing takes, seconds. */
  readonly seconds: number;
  /** Draws a large one now. */
  readonly drawNow: () => void;
}

/** Shortest pause before a drawing is made again, ms; a slow one waits for twice as long as it takes. */
const PAUSE = 60;
const LONGEST_PAUSE = 3_000;

/** Draws the newest text, never more often than the time it takes allows; the last good one stays. */
export function usePicture(wanted: DrawingText | undefined): PictureState {
  const [picture, setPicture] = useState<Picture>();
  const [failure, setFailure] = useState<"too-large" | "failed">();
  /** The large text that the author asked to be drawn. */
  const [asked, setAsked] = useState<string>();
  const scheme = useColourScheme();
  const took = useRef(0);
  /** What the picture that is shown was drawn from. */
  const drawn = useRef({ text: "", scheme: "" });
  const text = wanted?.text;
  const load = useMemo(() => (text === undefined ? 0 : drawingLoad(text)), [text]);
  const waits = load > AT_ONCE && asked !== text;

  useEffect(() => {
    if (!wanted || load > AT_MOST || waits) return;
    if (drawn.current.text === wanted.text && drawn.current.scheme === scheme) {
      // Most keys change nothing that is drawn; which box is which step may have changed all the same.
      setPicture((now) => now && { ...now, of: wanted });
      setFailure(undefined);
      return;
    }
    let left = false;
    const pause = setTimeout(
      async () => {
        const made = await drawPicture(wanted.text, readColours());
        if (left) return;
        setFailure(made.ok ? undefined : made.why);
        if (!made.ok) return;
        took.current = made.took;
        drawn.current = { text: wanted.text, scheme };
        setPicture({ svg: made.svg, of: wanted });
      },
      Math.min(LONGEST_PAUSE, Math.max(PAUSE, took.current > 300 ? 2 * took.current : 0)),
    );
    return () => {
      left = true;
      clearTimeout(pause);
    };
  }, [wanted, scheme, load, waits]);

  return {
    picture,
    trouble: load > AT_MOST ? "too-large" : waits ? "large" : failure,
    seconds: Math.ceil(load / 1_000),
    drawNow: useCallback(() => setAsked(text), [text]),
  };
}

/** Changes with the colour scheme that the page is shown in. */
function useColourScheme(): string {
  const [dark, setDark] = useState(() => matchMedia("(prefers-color-scheme: dark)").matches);
  const [theme, setTheme] = useState(() => document.documentElement.dataset.theme ?? "");
  useEffect(() => {
    const query = matchMedia("(prefers-color-scheme: dark)");
    const changed = () => setDark(query.matches);
    const observer = new MutationObserver(() => setTheme(document.documentElement.dataset.theme ?? ""));
    query.addEventListener("change", changed);
    observer.observe(document.documentElement, { attributes: true, attributeFilter: ["data-theme"] });
    return () => {
      query.removeEventListener("change", changed);
      observer.disconnect();
    };
  }, []);
  return `${theme} ${dark ? "dark" : "light"}`;
}
