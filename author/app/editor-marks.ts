/** Marks in the text that come from outside it: the selected step's line and the selected finding's. */
import { type Extension, StateEffect, StateField } from "@codemirror/state";
import { Decoration, type DecorationSet, EditorView } from "@codemirror/view";

export interface Marks {
  /** Offset on the line of the selected step. */
  readonly step?: number;
  /** Offset on the line of the selected finding. */
  readonly finding?: number;
}

export const setMarks = StateEffect.define<Marks>();

const stepLine = Decoration.line({ class: "cm-step-line" });
const findingLine = Decoration.line({ class: "cm-finding-line" });

const field = StateField.define<DecorationSet>({
  create: () => Decoration.none,
  update(marks, transaction) {
    let next = marks.map(transaction.changes);
    for (const effect of transaction.effects) {
      if (!effect.is(setMarks)) continue;
      const { step, finding } = effect.value;
      const lineOf = (offset: number) =>
        transaction.state.doc.lineAt(Math.min(offset, transaction.state.doc.length)).from;
      next = Decoration.set(
        [
          ...(step === undefined ? [] : [stepLine.range(lineOf(step))]),
          ...(finding === undefined ? [] : [findingLine.range(lineOf(finding))]),
        ],
        true,
      );
    }
    return next;
  },
  provide: (self) => EditorView.decorations.from(self),
});

export const editorMarks: Extension = field;
