import type { Diagnostic } from "@codemirror/lint";
import { useCallback, useEffect, useMemo, useRef, useState } from "react";
import type { PathRow } from "../../engine/machine/run.ts";
import type { Procedure } from "../../engine/procedure/model.ts";
import { findingTitle } from "../../engine/procedure/wording.ts";
import type { Offer } from "../edits/draft.ts";
import type { Mend } from "../edits/mend.ts";
import { stepAt } from "../edits/outline.ts";
import type { ListedFinding, Report } from "./check-message.ts";
import { countWords } from "./count-words.ts";
import type { SetAside } from "./draft-store.ts";
import { Drawing } from "./drawing.tsx";
import { drawingText } from "./drawing-text.ts";
import { Head } from "./head.tsx";
import { NoticeBar } from "./notice-bar.tsx";
import { Offers } from "./offers.tsx";
import { Rehearse } from "./rehearse.tsx";
import { type PaneName, Tabs } from "./tabs.tsx";
import { type EditorHandle, TextEditor } from "./text-editor.tsx";
import { ToMend } from "./to-mend.tsx";
import { useCheck } from "./use-check.ts";
import { type Desk, differsFromSaved, type OpenProcedure } from "./use-procedure.ts";
import { Walk } from "./walk.tsx";
import { stepWords, type WayRow, wayOf } from "./way-words.ts";

export interface DeskOpenProps {
  readonly desk: Desk;
  readonly open: OpenProcedure;
  /** A text set aside earlier that goes back into the editor. */
  readonly takeBack: SetAside | undefined;
  readonly onTakenBack: () => void;
  readonly onShelf: () => void;
}

interface WalkState {
  readonly procedure: Procedure;
  readonly witness: readonly WayRow[];
  /** Changes with every walk begun. */
  readonly number: number;
}

/** One procedure on the desk: its text, its drawing, what is to mend, and a walk through it. */
export function DeskOpen({ desk, open, takeBack, onTakenBack, onShelf }: DeskOpenProps) {
  const editor = useRef<EditorHandle>(null);
  const [pane, setPane] = useState<PaneName>("text");
  const [step, setStep] = useState<string>();
  const [findingKey, setFindingKey] = useState<string>();
  const [walk, setWalk] = useState<WalkState>();
  const [walked, setWalked] = useState<{ readonly step: string; readonly path: readonly PathRow[] }>();
  const [rehearsing, setRehearsing] = useState(false);
  const { report, checking, trouble } = useCheck(open);
  const lastSound = useLastSound(report);
  const broken = report?.broken ?? false;
  const procedure = walk?.procedure ?? (broken ? (lastSound ?? report?.procedure) : report?.procedure);
  const findings = report?.findings ?? NONE;
  const picked = findings.find(({ key }) => key === findingKey);
  // Until one is picked, the first that must be mended shows its way.
  const selected = picked ?? findings.find(({ finding: { severity } }) => severity === "error");
  const outline = report?.outline;
  const differs = useMemo(() => differsFromSaved(open), [open]);

  const finding = walk ? undefined : selected?.finding;
  const way = useMemo(() => walked?.path ?? (finding ? wayOf(finding) : NONE), [walked, finding]);
  const drawing = useMemo(() => procedure && drawingText(procedure, way, finding), [procedure, way, finding]);
  const diagnostics = useMemo(() => findings.flatMap(toDiagnostic), [findings]);
  const nameOf = useCallback((id: string) => stepWords(procedure, id), [procedure]);

  const title = outline?.title ?? lastSound?.title ?? open.id;
  useEffect(() => {
    document.title = `${title} · Probewright`;
  }, [title]);

  useEffect(() => {
    if (!takeBack) return;
    editor.current?.replace(takeBack.text);
    onTakenBack();
  }, [takeBack, onTakenBack]);

  const rangeOf = (id: string) => outline?.steps.find((range) => range.step === id);
  const selectStep = (id: string, go: boolean) => {
    setStep(id);
    const range = rangeOf(id) ?? rangeOf(id.split("/")[0] ?? "");
    if (range) editor.current?.show(range.from, go);
    if (go) setPane("text");
  };
  const selectFinding = (listed: ListedFinding) => {
    setFindingKey(listed.key);
    setStep(listed.finding.step);
    if (listed.here) editor.current?.show(listed.placed.from, false);
  };
  const goTo = ({ placed }: ListedFinding) => {
    endWalk();
    setRehearsing(false);
    setPane("text");
    // The text has to be there before it can take the focus.
    requestAnimationFrame(() => editor.current?.show(placed.from, true));
  };
  const mend = ({ edits }: Mend) => {
    if (report?.text === open.text) editor.current?.edit(edits);
  };
  const beginWalk = (witness: readonly WayRow[]) => {
    const from = report?.procedure;
    if (!from || !report.walkable) return;
    setRehearsing(false);
    setWalked(undefined);
    setWalk((now) => ({ procedure: from, witness, number: (now?.number ?? 0) + 1 }));
    setPane("text");
  };
  const endWalk = () => {
    setWalk(undefined);
    setWalked(undefined);
  };
  const rehearse = () => {
    if (!rehearsing && !report?.walkable) return;
    endWalk();
    setRehearsing(!rehearsing);
    setPane("text");
  };
  const onMove = useCallback((at: string, path: readonly PathRow[]) => {
    setWalked({ step: at, path });
    setStep(at);
  }, []);
  const takeOffer = async (offer: Offer) => {
    await desk.takeOffer(offer);
    editor.current?.replace(offer.text);
  };
  const onCursor = (offset: number) => {
    const at = outline && stepAt(outline.steps, offset);
    if (at !== undefined) setStep(at);
  };

  const first = walk ? "Walk" : rehearsing ? "Rehearsal" : "Text";
  const stepRange = step === undefined ? undefined : rangeOf(step);
  const errors = findings.filter(({ finding: found }) => found.severity === "error").length;
  return (
    <div className="desk" data-pane={pane}>
      <Head
        title={title}
        revision={report?.procedure?.revision}
        equipment={report?.equipment ?? NONE}
        kept={desk.kept}
        save={desk.save}
        offline={desk.offline}
        draft={differs}
        walking={walk !== undefined}
        rehearsing={rehearsing}
        noWalk={report?.walkable ? undefined : "It can be walked once its names and its text are mended."}
        onWalk={() => (walk ? endWalk() : beginWalk([]))}
        onRehearse={rehearse}
        onSave={() => void desk.saveNow(false)}
        onShelf={onShelf}
      />
      {desk.save.state === "failed" ? (
        <NoticeBar alert text={`Not saved: ${desk.save.message} The draft is kept; save again later.`} />
      ) : null}
      {open.offers.length > 0 || desk.save.state === "moved" ? (
        <Offers
          origin={open.origin}
          offers={open.offers}
          savedMoved={open.savedMoved}
          refused={desk.save.state === "moved"}
          onTake={(offer) => void takeOffer(offer)}
          onStay={desk.dismissOffers}
          onOver={() => void desk.saveNow(true)}
        />
      ) : null}
      <main className="desk-main">
        <Tabs pane={pane} onPane={setPane} first={first} toMend={errors} />
        <div className="desk-panes" data-walking={first !== "Text"}>
          <section className="pane pane-text" aria-label={first}>
            {walk ? (
              <Walk
                key={walk.number}
                procedure={walk.procedure}
                witness={walk.witness}
                onMove={onMove}
                onAgain={() => beginWalk([])}
              />
            ) : null}
            {rehearsing ? <Rehearse procedure={report?.walkable ? report.procedure : undefined} /> : null}
            <div className="editor-place" hidden={first !== "Text"}>
              <TextEditor
                text={open.begun}
                diagnostics={diagnostics}
                marks={{
                  ...(stepRange ? { step: stepRange.from } : {}),
                  ...(picked?.here ? { finding: picked.placed.from } : {}),
                }}
                outline={outline}
                handle={editor}
                onText={desk.type}
                onCursor={onCursor}
              />
              <p className="editor-keys soft" id="editor-keys">
                Tab indents. Escape, then Tab, leaves the text. Control and space offers names.
              </p>
            </div>
          </section>
          <div className="pane pane-drawing">
            <Drawing
              drawing={drawing}
              stale={!walk && broken}
              selected={step}
              nameOf={nameOf}
              onSelect={selectStep}
            />
          </div>
          <div className="pane pane-mend">
            <ToMend
              findings={findings}
              selected={selected}
              procedure={report?.procedure}
              walkable={report?.walkable ?? false}
              figures={broken ? undefined : report?.figures}
              checking={checking}
              trouble={trouble ?? (report ? undefined : "Checking")}
              onSelect={selectFinding}
              onGo={goTo}
              onMend={mend}
              onWalk={({ finding: found }) => beginWalk(wayOf(found))}
            />
          </div>
        </div>
      </main>
      <p className="unseen" aria-live="polite">
        {checking || trouble ? "" : countWords(findings)}
      </p>
    </div>
  );
}

const NONE: readonly never[] = [];

/** The last procedure that could be read: its drawing stays while the text is broken. */
function useLastSound(report: Report | undefined): Procedure | undefined {
  const [sound, setSound] = useState<Procedure>();
  const procedure = report?.broken ? undefined : report?.procedure;
  useEffect(() => {
    if (procedure) setSound(procedure);
  }, [procedure]);
  return sound;
}

function toDiagnostic({ finding, placed, here }: ListedFinding): readonly Diagnostic[] {
  if (!here) return NONE;
  const severity = finding.severity === "note" ? "info" : finding.severity;
  const message = `${findingTitle(finding.code)}. ${placed.message} ${placed.mend}`.trim();
  return [{ from: placed.from, to: placed.to, severity, message }];
}
