/** How the text looks: keys heavy, comments soft, values plain; every colour is a token. */
import { HighlightStyle, syntaxHighlighting } from "@codemirror/language";
import { EditorView } from "@codemirror/view";
import { tags } from "@lezer/highlight";

const highlight = HighlightStyle.define([
  { tag: [tags.definition(tags.propertyName), tags.propertyName], fontWeight: "700" },
  { tag: [tags.comment, tags.lineComment], fontStyle: "italic", color: "var(--soft-ink)" },
  { tag: [tags.punctuation, tags.separator, tags.squareBracket, tags.brace], color: "var(--soft-ink)" },
  { tag: [tags.labelName, tags.typeName, tags.meta], color: "var(--reed)" },
]);

/** A wave drawn as a mask, so that its colour can be a token. */
const WAVE =
  "url(\"data:image/svg+xml,%3Csvg xmlns='http://www.w3.org/2000/svg' width='8' height='4'%3E%3Cpath d='M0 3 Q2 0 4 2 T8 3' fill='none' stroke='black' stroke-width='1.4'/%3E%3C/svg%3E\")";

const theme = EditorView.theme({
  "&": { height: "100%", backgroundColor: "var(--card)", color: "var(--ink)", fontSize: "0.875rem" },
  "&.cm-focused": { outline: "none" },
  ".cm-scroller": { fontFamily: "var(--figure-face)", lineHeight: "1.6", overflow: "auto" },
  ".cm-content": { padding: "0.75rem 0 40vh", caretColor: "var(--ink)" },
  ".cm-line": { padding: "0 1rem 0 0.35rem" },
  ".cm-cursor": { borderLeft: "2px solid var(--reed)" },
  "&.cm-focused .cm-selectionBackground, .cm-selectionBackground, ::selection": {
    background: "var(--reed-pale) !important",
  },
  ".cm-activeLine": { backgroundColor: "color-mix(in srgb, var(--key) 70%, transparent)" },
  ".cm-gutters": {
    backgroundColor: "var(--card)",
    color: "var(--soft-ink)",
    border: "0",
    paddingLeft: "0.35rem",
  },
  ".cm-activeLineGutter": { backgroundColor: "transparent", color: "var(--ink)" },
  ".cm-lineNumbers .cm-gutterElement": { minWidth: "2.25rem", padding: "0 0.25rem 0 0" },
  // Folding goes by its keys; its marks would stand between the numbers and the lines.
  ".cm-foldGutter": { display: "none !important" },
  ".cm-gutter-lint": { width: "0.8rem" },
  ".cm-gutter-lint .cm-gutterElement": { padding: "0", display: "grid", placeItems: "center" },
  ".cm-lint-marker": { content: "normal", width: "0.6rem", height: "0.6rem", borderRadius: "50%" },
  ".cm-lint-marker-error": { background: "var(--plum)" },
  ".cm-lint-marker-warning": { border: "2px solid var(--plum)" },
  ".cm-lint-marker-info": { border: "2px solid var(--soft-ink)" },
  ".cm-lintRange": { backgroundImage: "none", paddingBottom: "0", position: "relative" },
  ".cm-lintRange-error, .cm-lintRange-warning, .cm-lintRange-info": {
    textDecorationLine: "underline",
    textDecorationStyle: "wavy",
    textDecorationColor: "var(--plum)",
    textDecorationThickness: "1.5px",
    textDecorationSkipInk: "none",
    textUnderlineOffset: "4px",
  },
  ".cm-lintRange-warning": { textDecorationStyle: "dashed" },
  ".cm-lintRange-info": { textDecorationStyle: "dotted", textDecorationColor: "var(--soft-ink)" },
  ".cm-lintRange-active": { backgroundColor: "var(--plum-pale)" },
  ".cm-lintPoint::after": {
    borderBottomColor: "var(--plum)",
    maskImage: WAVE,
  },
  ".cm-step-line": { boxShadow: "inset 3px 0 0 var(--reed)" },
  ".cm-finding-line": {
    backgroundColor: "var(--plum-pale)",
    boxShadow: "inset 3px 0 0 var(--plum)",
  },
  ".cm-tooltip": {
    backgroundColor: "var(--card)",
    color: "var(--ink)",
    border: "1px solid var(--rule)",
    borderRadius: "10px",
    overflow: "hidden",
    fontFamily: "var(--text-face)",
    fontSize: "var(--size-soft)",
    maxWidth: "min(34rem, 92vw)",
    boxShadow: "0 6px 24px rgb(0 0 0 / 0.16)",
  },
  ".cm-diagnostic": { padding: "0.5rem 0.75rem", borderLeft: "3px solid var(--plum)", margin: "0" },
  ".cm-diagnostic-info": { borderLeftColor: "var(--soft-ink)" },
  ".cm-tooltip.cm-tooltip-autocomplete > ul": {
    fontFamily: "var(--figure-face)",
    fontSize: "var(--size-soft)",
    maxHeight: "16rem",
  },
  ".cm-tooltip.cm-tooltip-autocomplete > ul > li": { padding: "0.25rem 0.75rem" },
  ".cm-tooltip.cm-tooltip-autocomplete > ul > li[aria-selected]": {
    background: "var(--reed)",
    color: "var(--on-reed)",
  },
  ".cm-completionDetail": { fontStyle: "normal", opacity: "0.85", marginLeft: "1rem" },
  ".cm-completionMatchedText": { textDecoration: "none", fontWeight: "700" },
  ".cm-panels": { backgroundColor: "var(--bench)", color: "var(--ink)", borderColor: "var(--rule)" },
  ".cm-panels-bottom": { borderTop: "1px solid var(--rule)" },
  ".cm-panel.cm-search": { fontFamily: "var(--text-face)", padding: "0.5rem 2rem 0.5rem 0.75rem" },
  ".cm-panel.cm-search input, .cm-panel.cm-search button, .cm-panel.cm-search label": {
    fontSize: "var(--size-soft)",
  },
  ".cm-textfield": {
    backgroundColor: "var(--card)",
    border: "1px solid var(--soft-ink)",
    borderRadius: "6px",
    padding: "0.3rem 0.5rem",
  },
  ".cm-button": {
    backgroundImage: "none",
    backgroundColor: "var(--card)",
    border: "1px solid var(--rule)",
    borderRadius: "6px",
    padding: "0.3rem 0.6rem",
  },
  ".cm-searchMatch": { backgroundColor: "var(--reed-pale)" },
  ".cm-searchMatch-selected": { outline: "2px solid var(--reed)" },
  ".cm-foldPlaceholder": {
    backgroundColor: "var(--key)",
    border: "0",
    color: "var(--soft-ink)",
    padding: "0 0.4rem",
  },
  "&.cm-focused .cm-matchingBracket": { backgroundColor: "var(--reed-pale)" },
});

export const editorLook = [theme, syntaxHighlighting(highlight)];
