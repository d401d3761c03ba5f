import { indentWithTab } from "@codemirror/commands";
import { yaml } from "@codemirror/lang-yaml";
import { indentUnit } from "@codemirror/language";
import { type Diagnostic, lintGutter, setDiagnostics } from "@codemirror/lint";
import { Compartment, EditorState, Transaction } from "@codemirror/state";
import { EditorView, keymap } from "@codemirror/view";
import { basicSetup } from "codemirror";
import { type Ref, useEffect, useImperativeHandle, useRef } from "react";
import type { Outline } from "../edits/outline.ts";
import type { TextEdit } from "../edits/text-edit.ts";
import { editorCompletions } from "./editor-completions.ts";
import { editorLook } from "./editor-look.ts";
import { editorMarks, type Marks, setMarks } from "./editor-marks.ts";

/** What others do to the text; each is one step of the undo history. */
export interface EditorHandle {
  /** Makes the edits, which must be of the text as it stands. */
  edit(edits: readonly TextEdit[]): void;
  /** Puts another text in the place of this one; undo brings it back. */
  replace(text: string): void;
  /** Shows the place and puts the cursor there; takes the focus only where asked to. */
  show(offset: number, focus: boolean): void;
}

export interface TextEditorProps {
  /** The text to begin with; what is typed is told by `onText`. */
  readonly text: string;
  readonly diagnostics: readonly Diagnostic[];
  readonly marks: Marks;
  readonly outline: Outline | undefined;
  readonly handle: Ref<EditorHandle>;
  readonly onText: (text: string) => void;
  /** The cursor was moved by the author. */
  readonly onCursor: (offset: number) => void;
}

/** Aligned columns are kept where there is room; a phone wraps, so that nothing is read sideways. */
const NARROW = matchMedia("(max-width: 899px)");
const wrapping = new Compartment();

/** The procedure's text. Escape, then Tab, leaves it by the keyboard. */
export function TextEditor(props: TextEditorProps) {
  const { text, diagnostics, marks, outline, handle, onText, onCursor } = props;
  const host = useRef<HTMLDivElement>(null);
  const view = useRef<EditorView>(undefined);
  const latest = useRef({ outline, onText, onCursor, text });
  useEffect(() => {
    latest.current = { outline, onText, onCursor, text };
  });

  useEffect(() => {
    if (!host.current) return;
    const editor = new EditorView({
      parent: host.current,
      state: EditorState.create({
        doc: latest.current.text,
        extensions: [
          // First, so that ours go before what the set-up brings for the same keys.
          keymap.of([indentWithTab]),
          editorCompletions(() => latest.current.outline),
          basicSetup,
          lintGutter(),
          indentUnit.of("  "),
          yaml(),
          EditorView.contentAttributes.of({
            tabindex: "0",
            "aria-label": "Text of the procedure",
            "aria-describedby": "editor-keys",
            spellcheck: "false",
            autocapitalize: "off",
            autocorrect: "off",
          }),
          wrapping.of(NARROW.matches ? EditorView.lineWrapping : []),
          editorLook,
          editorMarks,
          EditorView.updateListener.of((update) => {
            if (update.docChanged) latest.current.onText(update.state.doc.toString());
            const byHand = update.transactions.some((each) => each.annotation(Transaction.userEvent));
            if (update.selectionSet && byHand) latest.current.onCursor(update.state.selection.main.head);
          }),
        ],
      }),
    });
    view.current = editor;
    const rewrap = () =>
      editor.dispatch({ effects: wrapping.reconfigure(NARROW.matches ? EditorView.lineWrapping : []) });
    NARROW.addEventListener("change", rewrap);
    return () => {
      NARROW.removeEventListener("change", rewrap);
      view.current = undefined;
      editor.destroy();
    };
  }, []);

  useEffect(() => {
    const editor = view.current;
    if (!editor) return;
    const end = editor.state.doc.length;
    const within = diagnostics.map((each) => ({
      ...each,
      from: Math.min(each.from, end),
      to: Math.min(each.to, end),
    }));
    editor.dispatch(setDiagnostics(editor.state, within));
  }, [diagnostics]);

  const { step, finding } = marks;
  useEffect(() => {
    view.current?.dispatch({
      effects: setMarks.of({
        ...(step === undefined ? {} : { step }),
        ...(finding === undefined ? {} : { finding }),
      }),
    });
  }, [step, finding]);

  useImperativeHandle(
    handle,
    () => ({
      edit(edits) {
        view.current?.dispatch({
          changes: edits.map(({ from, to, insert }) => ({ from, to, insert })),
          userEvent: "input.mend",
        });
      },
      replace(next) {
        const editor = view.current;
        if (!editor) return;
        editor.dispatch({
          changes: { from: 0, to: editor.state.doc.length, insert: next },
          selection: { anchor: 0 },
          userEvent: "input.replace",
        });
      },
      show(offset, focus) {
        const editor = view.current;
        if (!editor) return;
        const at = Math.min(offset, editor.state.doc.length);
        // Back to the lines' beginnings, from where the place is scrolled to only as far as it needs.
        editor.scrollDOM.scrollLeft = 0;
        editor.dispatch({
          selection: { anchor: at },
          effects: EditorView.scrollIntoView(at, { y: "center" }),
        });
        if (focus) editor.focus();
      },
    }),
    [],
  );

  return <div ref={host} className="editor" />;
}
