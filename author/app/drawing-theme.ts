/** How mermaid draws: every colour from the tokens, every limit set here, no HTML inside the picture. */
import type { MermaidConfig } from "mermaid";

/** Tokens that the drawing takes its colours from, resolved to what the screen shows now. */
export const DRAWING_TOKENS = ["bench", "card", "ink", "soft-ink", "rule", "plum", "plum-pale"] as const;
export type DrawingToken = (typeof DRAWING_TOKENS)[number];
export type DrawingColours = Readonly<Record<DrawingToken, string>>;

/** Above this many edges mermaid throws; the page says so before it comes to that. */
export const MAX_EDGES = 2_000;
/** Above this length mermaid draws an error picture without an error; the page says so before. */
export const MAX_TEXT = 200_000;

/** Returns mermaid's settings for these colours. */
export function drawingTheme(colours: DrawingColours): MermaidConfig {
  const { bench, card, ink, rule } = colours;
  return {
    startOnLoad: false,
    securityLevel: "strict",
    // Settings that a text must not change, whatever it holds.
    secure: [
      "secure",
      "securityLevel",
      "startOnLoad",
      "maxTextSize",
      "maxEdges",
      "htmlLabels",
      "theme",
      "themeCSS",
      "themeVariables",
    ],
    suppressErrorRendering: true,
    maxEdges: MAX_EDGES,
    maxTextSize: MAX_TEXT,
    htmlLabels: false,
    deterministicIds: true,
    theme: "base",
    fontFamily: '"Atkinson Hyperlegible Next Variable", system-ui, sans-serif',
    themeVariables: {
      fontSize: "14px",
      background: bench,
      primaryColor: card,
      primaryTextColor: ink,
      primaryBorderColor: ink,
      secondaryColor: card,
      tertiaryColor: bench,
      mainBkg: card,
      nodeBorder: ink,
      nodeTextColor: ink,
      textColor: ink,
      lineColor: colours["soft-ink"],
      edgeLabelBackground: bench,
      clusterBkg: bench,
      clusterBorder: rule,
      titleColor: ink,
    },
    flowchart: {
      curve: "linear",
      nodeSpacing: 36,
      rankSpacing: 46,
      padding: 12,
      wrappingWidth: 170,
      diagramPadding: 12,
      useMaxWidth: false,
    },
  };
}
