import { type KeyboardEvent, type PointerEvent, useCallback, useEffect, useRef, useState } from "react";
import { Button } from "../../runner/kit/button.tsx";
import { type Box, DIRECTIONS, nearestBox } from "./drawing-nodes.ts";
import { type DrawingText, usePicture } from "./use-picture.ts";

export interface DrawingProps {
  readonly drawing: DrawingText | undefined;
  /** The text is broken: what is shown is of an earlier one. */
  readonly stale: boolean;
  readonly selected: string | undefined;
  /** What a step is called when it is read aloud. */
  readonly nameOf: (step: string) => string;
  /** `go` asks to be taken to the text as well. */
  readonly onSelect: (step: string, go: boolean) => void;
}

/** Smallest size at which labels are still read, as a share of their full size. */
const READABLE = 0.9;
const ZOOMS = [0.15, 0.25, 0.35, 0.5, 0.65, 0.8, 1, 1.25, 1.5, 2, 3];

/** The procedure drawn. Arrows go from box to box, Enter goes to the text, + and - and 0 change the size. */
export function Drawing({ drawing, stale, selected, nameOf, onSelect }: DrawingProps) {
  const { picture, trouble, seconds, drawNow } = usePicture(drawing);
  const stage = useRef<HTMLDivElement>(null);
  const frame = useRef<HTMLElement>(null);
  const [zoom, setZoom] = useState<number | "whole" | "readable">("readable");
  /** The step that had the focus in the picture before this one. */
  const focusAgain = useRef<string>(undefined);
  const [scale, setScale] = useState(1);

  const resize = useCallback(() => {
    const svg = stage.current?.querySelector("svg");
    const room = frame.current;
    if (!svg || !room) return;
    const { width, height } = svg.viewBox.baseVal;
    const free = roomInside(room);
    const fit = Math.min(free.width / width, free.height / height, 1.1);
    // A long procedure is read step by step, not as a thumbnail, unless the author asks for the whole.
    const next = zoom === "whole" ? fit : zoom === "readable" ? Math.max(fit, READABLE) : zoom;
    svg.setAttribute("width", String(Math.round(width * next)));
    svg.setAttribute("height", String(Math.round(height * next)));
    setScale(next);
    // A pane that was hidden had nowhere to scroll to.
    const shown = stage.current?.querySelector('[tabindex="0"]');
    if (shown) bringIntoView(room, shown);
  }, [zoom]);

  const markup = picture?.svg;
  useEffect(() => {
    if (markup === undefined || !stage.current) return;
    const held = stage.current.contains(document.activeElement)
      ? document.activeElement?.getAttribute("data-step")
      : undefined;
    // Mermaid's strict mode has cleaned it: no script, no handlers, no HTML inside.
    stage.current.innerHTML = markup;
    focusAgain.current = held ?? undefined;
    const svg = stage.current.querySelector("svg");
    svg?.setAttribute("role", "group");
    svg?.removeAttribute("aria-roledescription");
    svg?.setAttribute("aria-label", "Steps of the procedure");
    svg?.style.removeProperty("max-width");
  }, [markup]);

  useEffect(() => {
    if (!picture || !stage.current) return;
    for (const [step, node] of nodesOf(stage.current, picture.of.stepOf)) {
      node.setAttribute("role", "button");
      node.setAttribute("data-step", step);
      node.setAttribute("aria-label", nameOf(step));
    }
    resize();
    if (focusAgain.current === undefined) return;
    nodeOf(stage.current, focusAgain.current)?.focus({ preventScroll: true });
    focusAgain.current = undefined;
  }, [picture, nameOf, resize]);

  // biome-ignore lint/correctness/useExhaustiveDependencies: a new picture needs its selection again.
  useEffect(() => {
    const nodes = [...(stage.current?.querySelectorAll<SVGGElement>("[data-step]") ?? [])];
    const chosen = nodes.find((node) => node.dataset.step === selected);
    for (const node of nodes) {
      node.setAttribute("tabindex", node === (chosen ?? nodes[0]) ? "0" : "-1");
      node.setAttribute("aria-pressed", String(node === chosen));
    }
    const shown = chosen ?? nodes[0];
    if (shown && frame.current) bringIntoView(frame.current, shown);
  }, [selected, picture, nameOf, scale]);

  useEffect(() => {
    if (!frame.current) return;
    const observer = new ResizeObserver(resize);
    observer.observe(frame.current);
    return () => observer.disconnect();
  }, [resize]);

  const step = (by: 1 | -1) => {
    const next =
      by > 0 ? ZOOMS.find((each) => each > scale + 0.01) : ZOOMS.findLast((each) => each < scale - 0.01);
    if (next !== undefined) setZoom(next);
  };

  const onKeyDown = (event: KeyboardEvent) => {
    if (event.altKey || event.ctrlKey || event.metaKey) return;
    const current = (event.target as Element).closest<SVGGElement>("[data-step]");
    const direction = DIRECTIONS.get(event.key);
    if (event.key === "+" || event.key === "=") step(1);
    else if (event.key === "-") step(-1);
    else if (event.key === "0") setZoom("whole");
    else if (direction && event.shiftKey) pan(frame.current, direction);
    else if (direction && current) {
      const boxes = boxesOf(stage.current);
      const from = boxes.find((box) => box.step === current.dataset.step);
      const next = from && nearestBox(boxes, from, direction);
      if (next) {
        onSelect(next.step, false);
        nodeOf(stage.current, next.step)?.focus({ preventScroll: true });
      }
    } else if ((event.key === "Enter" || event.key === " ") && current?.dataset.step) {
      onSelect(current.dataset.step, event.key === "Enter");
    } else return;
    event.preventDefault();
  };

  const drag = useDragging(frame);
  return (
    <section className="drawing" aria-label="Drawing">
      {stale ? (
        <p className="drawing-note" role="status">
          The text can't be drawn just now. This is the last drawing that could be made.
        </p>
      ) : null}
      {trouble ? (
        <div className="drawing-note" role="status">
          <p>{troubleWords(trouble, seconds, picture !== undefined)}</p>
          {trouble === "large" ? (
            <Button look="plain" small onClick={drawNow}>
              Draw it now
            </Button>
          ) : null}
        </div>
      ) : null}
      <section
        ref={frame}
        className="drawing-frame"
        data-stale={stale}
        aria-label="Drawing: arrows go from step to step, Enter goes to its text, plus and minus change the size"
        onKeyDown={onKeyDown}
        onClick={(event) => {
          const node = (event.target as Element).closest<SVGGElement>("[data-step]");
          if (node?.dataset.step && !drag.moved()) onSelect(node.dataset.step, false);
        }}
        {...drag.handlers}
      >
        <div ref={stage} id="drawing-stage" className="drawing-stage" />
        {picture || trouble ? null : (
          <p className="soft drawing-empty">{drawing ? "Drawing" : "Nothing to draw yet."}</p>
        )}
      </section>
      <div className="drawing-zoom">
        <Button look="plain" small onClick={() => step(-1)}>
          Smaller
        </Button>
        <Button look="plain" small onClick={() => setZoom("whole")}>
          Whole
        </Button>
        <Button look="plain" small onClick={() => step(1)}>
          Larger
        </Button>
      </div>
    </section>
  );
}

/** What of a frame is free for the picture: the buttons stand in its padding. */
function roomInside(frame: HTMLElement): { readonly width: number; readonly height: number } {
  const { paddingTop, paddingBottom, paddingLeft, paddingRight } = getComputedStyle(frame);
  const sum = (one: string, other: string) => Number.parseFloat(one) + Number.parseFloat(other);
  return {
    width: frame.clientWidth - sum(paddingLeft, paddingRight),
    height: frame.clientHeight - sum(paddingTop, paddingBottom),
  };
}

function troubleWords(trouble: "large" | "too-large" | "failed", seconds: number, older: boolean): string {
  const shown = older ? " What is shown was drawn before the last changes." : "";
  if (trouble === "large") {
    return `A large procedure: drawing it takes about ${seconds} seconds, and typing waits for it.${shown}`;
  }
  return trouble === "too-large"
    ? `This procedure is too large to be drawn in one picture. The check goes on as before.${shown}`
    : `The drawing could not be made. The check goes on as before.${shown}`;
}

/** The boxes of steps in a drawing, in the order drawn. */
function nodesOf(
  stage: HTMLElement,
  stepOf: (nodeId: string) => string | undefined,
): (readonly [string, SVGGElement])[] {
  return [...stage.querySelectorAll<SVGGElement>("g.node")].flatMap((node) => {
    const step = stepOf(node.id);
    return step === undefined ? [] : [[step, node] as const];
  });
}

function nodeOf(stage: HTMLElement | null, step: string): SVGGElement | undefined {
  return [...(stage?.querySelectorAll<SVGGElement>("[data-step]") ?? [])].find(
    (node) => node.dataset.step === step,
  );
}

function boxesOf(stage: HTMLElement | null): Box[] {
  return [...(stage?.querySelectorAll<SVGGElement>("[data-step]") ?? [])].map((node) => {
    const { left, top, width, height } = node.getBoundingClientRect();
    return { step: node.dataset.step ?? "", x: left + width / 2, y: top + height / 2 };
  });
}

/** Scrolls only the frame, never the page, and only as far as needed. */
function bringIntoView(frame: HTMLElement, node: Element): void {
  const room = frame.getBoundingClientRect();
  const box = node.getBoundingClientRect();
  if (room.width === 0) return;
  const margin = 48;
  const left = box.left < room.left + margin || box.right > room.right - margin;
  const top = box.top < room.top + margin || box.bottom > room.bottom - margin;
  frame.scrollBy({
    left: left ? box.left + box.width / 2 - (room.left + room.width / 2) : 0,
    top: top ? box.top + box.height / 2 - (room.top + room.height / 2) : 0,
    behavior: "instant",
  });
}

function pan(frame: HTMLElement | null, direction: "up" | "down" | "left" | "right"): void {
  const by = 120;
  const left = direction === "left" ? -by : direction === "right" ? by : 0;
  const top = direction === "up" ? -by : direction === "down" ? by : 0;
  frame?.scrollBy({ left, top, behavior: "instant" });
}

/** Moves the drawing under a mouse; touch scrolls by itself. */
function useDragging(frame: { readonly current: HTMLElement | null }) {
  const from = useRef<{ x: number; y: number; left: number; top: number }>(undefined);
  const far = useRef(false);
  return {
    /** The last press was a drag and no click. */
    moved: () => far.current,
    handlers: {
      onPointerDown: (event: PointerEvent) => {
        far.current = false;
        if (event.pointerType !== "mouse" || event.button !== 0 || !frame.current) return;
        const { scrollLeft: left, scrollTop: top } = frame.current;
        from.current = { x: event.clientX, y: event.clientY, left, top };
      },
      onPointerMove: (event: PointerEvent) => {
        const began = from.current;
        if (!began || !frame.current) return;
        const dx = event.clientX - began.x;
        const dy = event.clientY - began.y;
        if (Math.abs(dx) + Math.abs(dy) > 5) far.current = true;
        if (far.current)
          frame.current.scrollTo({ left: began.left - dx, top: began.top - dy, behavior: "instant" });
      },
      onPointerUp: () => {
        from.current = undefined;
      },
      onPointerLeave: () => {
        from.current = undefined;
      },
    },
  };
}
