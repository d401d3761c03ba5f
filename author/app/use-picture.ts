import { useEffect, useRef, useState } from "react";
import { drawPicture, readColours } from "./draw.ts";

/** What mermaid is given, and which of its boxes is which step. */
export interface DrawingText {
  readonly text: string;
  /** The step behind a node, by the id of its element. */
  readonly stepOf: (nodeId: string) => string | undefined;
}

/** A drawing that was made, with the steps of its boxes. */
export interface Picture {
  readonly svg: string;
  readonly of: DrawingText;
}

export interface PictureState {
  /** The last drawing that could be made. */
  readonly picture: Picture | undefined;
  readonly drawing: boolean;
  readonly trouble: "too-large" | "failed" | undefined;
}

/** Shortest pause before a drawing is made again, ms; a slow one waits for twice as long as it takes. */
const PAUSE = 60;
const LONGEST_PAUSE = 3_000;

/** Draws the newest text, never more often than the time it takes allows; the last good one stays. */
export function usePicture(wanted: DrawingText | undefined): PictureState {
  const [state, setState] = useState<PictureState>({
    picture: undefined,
    drawing: false,
    trouble: undefined,
  });
  const scheme = useColourScheme();
  const took = useRef(0);
  /** What the picture that is shown was drawn from. */
  const drawn = useRef({ text: "", scheme: "" });
  useEffect(() => {
    if (!wanted) return;
    if (drawn.current.text === wanted.text && drawn.current.scheme === scheme) {
      // Most keys change nothing that is drawn; which box is which step may have changed all the same.
      setState(({ picture }) => ({
        picture: picture && { ...picture, of: wanted },
        drawing: false,
        trouble: undefined,
      }));
      return;
    }
    let left = false;
    setState((now) => ({ ...now, drawing: true }));
    const pause = setTimeout(
      async () => {
        const made = await drawPicture(wanted.text, readColours());
        if (left) return;
        if (made.ok) {
          took.current = made.took;
          drawn.current = { text: wanted.text, scheme };
          setState({ picture: { svg: made.svg, of: wanted }, drawing: false, trouble: undefined });
        } else setState((now) => ({ ...now, drawing: false, trouble: made.why }));
      },
      Math.min(LONGEST_PAUSE, Math.max(PAUSE, took.current > 300 ? 2 * took.current : 0)),
    );
    return () => {
      left = true;
      clearTimeout(pause);
    };
  }, [wanted, scheme]);
  return state;
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
