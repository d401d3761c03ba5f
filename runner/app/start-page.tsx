import { useCallback, useState } from "react";
import { Button } from "../kit/button.tsx";
import { linkTexts } from "../session/link-texts.ts";
import { newRunId } from "../session/run-id.ts";
import { openSession } from "../session/run-session.ts";
import type { ProcedureEntry, ProcedureTexts } from "../wire/procedures.ts";
import { Choice } from "./choice.tsx";
import { PageHead } from "./page-head.tsx";
import { prefer, usePreferences } from "./preferences.ts";
import { go } from "./route.ts";
import { type Services, useServices } from "./services.ts";
import { useLoaded } from "./use-loaded.ts";

interface Found {
  readonly entry: ProcedureEntry | undefined;
  readonly texts: ProcedureTexts | undefined;
}

/** Before a job: which vehicle, which unit, who. */
export function StartPage({ procedure }: { readonly procedure: string }) {
  const services = useServices();
  const read = useCallback(() => find(services, procedure), [services, procedure]);
  const found = useLoaded(read);
  return (
    <div className="page">
      <div className="page-in">
        <PageHead />
        <main className="card page-card narrow">
          {found.state === "loading" ? (
            <p className="soft" role="status">
              Fetching the procedure.
            </p>
          ) : found.value.texts === undefined ? (
            <>
              <h1>This procedure is not here</h1>
              <p>The shop's server can't be reached, or it does not know the procedure.</p>
              <Button onClick={() => go({ page: "home" })}>Back to the complaints</Button>
            </>
          ) : (
            <Begin services={services} entry={found.value.entry} texts={found.value.texts} />
          )}
        </main>
      </div>
    </div>
  );
}

async function find({ server, store }: Services, procedure: string): Promise<Found> {
  const [list, texts] = await Promise.all([server.listProcedures(), server.readTexts(procedure)]);
  if (texts.ok) await store.keepTexts(texts.value).catch(() => undefined);
  const entries = list.ok ? list.value : ((await store.readShop().catch(() => undefined)) ?? []);
  return {
    entry: entries.find((entry) => entry.id === procedure),
    texts: texts.ok ? texts.value : await store.readTexts(procedure).catch(() => undefined),
  };
}

function Begin({
  services,
  entry,
  texts,
}: {
  readonly services: Services;
  readonly entry: ProcedureEntry | undefined;
  readonly texts: ProcedureTexts;
}) {
  const { technician } = usePreferences();
  const vehicles = entry?.equipment ?? [];
  const [equipment, setEquipment] = useState(vehicles.length === 1 ? vehicles[0]?.id : undefined);
  const [unit, setUnit] = useState("");
  const [problem, setProblem] = useState<string | undefined>(undefined);
  const [busy, setBusy] = useState(false);
  const begin = async () => {
    setBusy(true);
    const opened = await open(services, texts, {
      equipment,
      unit: unit.trim(),
      technician: technician.trim(),
    });
    if (opened.ok) go({ page: "run", run: opened.run });
    else setProblem(opened.message);
    setBusy(false);
  };
  const missing = vehicles.length > 0 && equipment === undefined;
  return (
    <form
      className="card-step"
      onSubmit={(submit) => {
        submit.preventDefault();
        if (!missing && !busy) void begin();
      }}
    >
      <h1>{entry?.title ?? texts.id}</h1>
      <p>{entry?.complaint}</p>
      {vehicles.length === 0 ? null : (
        <Choice
          title="Vehicle"
          options={vehicles.map((one) => ({ id: one.id, label: one.title }))}
          value={equipment}
          onChange={setEquipment}
        />
      )}
      <label className="field">
        <span className="field-label">Unit number, as the shop writes it</span>
        <input value={unit} autoComplete="off" onChange={(change) => setUnit(change.target.value)} />
      </label>
      <label className="field">
        <span className="field-label">Your role, never a name</span>
        <input
          value={technician}
          autoComplete="off"
          spellCheck={false}
          onChange={(change) => prefer({ technician: change.target.value })}
        />
      </label>
      <div className="acts">
        {problem === undefined ? null : (
          <p className="refusal" role="alert">
            {problem}
          </p>
        )}
        <Button type="submit" disabled={missing || busy}>
          {missing ? "Choose the vehicle first" : "Begin the job"}
        </Button>
        <p className="soft">
          Work can hurt. The maker's data, the shop's rules and the law where you are come before anything
          written here.
        </p>
      </div>
    </form>
  );
}

async function open(
  { store, sender, news }: Services,
  texts: ProcedureTexts,
  chosen: { readonly equipment: string | undefined; readonly unit: string; readonly technician: string },
): Promise<{ ok: true; run: string } | { ok: false; message: string }> {
  const procedure = linkTexts(texts, chosen.equipment);
  if (procedure === undefined)
    return { ok: false, message: "This procedure has errors. Its author must mend it first." };
  const opening = {
    run: newRunId(),
    at: Date.now(),
    ...(chosen.technician === "" ? {} : { technician: chosen.technician }),
    ...(chosen.unit === "" ? {} : { unit: chosen.unit }),
  };
  try {
    const session = await openSession(procedure, opening, texts, { store, now: Date.now });
    session.close();
  } catch {
    return {
      ok: false,
      message: "This browser could not keep the job. Free some room on the device and try again.",
    };
  }
  sender.wake();
  news.tell(opening.run);
  return { ok: true, run: opening.run };
}
