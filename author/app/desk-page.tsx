import { useEffect, useState } from "react";
import { Button } from "../../runner/kit/button.tsx";
import { Sheet } from "../../runner/kit/sheet.tsx";
import { DeskOpen } from "./desk-open.tsx";
import type { SetAside } from "./draft-store.ts";
import { Shelf } from "./shelf.tsx";
import { usePlace } from "./use-place.ts";
import { useProcedure } from "./use-procedure.ts";

/** The author's page: the shelf of procedures, or one of them on the desk. */
export function DeskPage() {
  const [id, go] = usePlace();
  const desk = useProcedure(id);
  const [shelf, setShelf] = useState(false);
  /** A procedure to be begun as soon as the address names it. */
  const [begin, setBegin] = useState<string>();
  const [takeBack, setTakeBack] = useState<SetAside>();
  const { state, beginNew } = desk;

  useEffect(() => {
    if (begin === undefined || state.phase !== "failed" || state.id !== begin) return;
    setBegin(undefined);
    beginNew();
  }, [begin, state, beginNew]);

  const opened = state.phase === "empty" ? undefined : state.id;
  const shelfProps = {
    current: opened,
    onOpen: (next: string) => {
      setShelf(false);
      go(next);
    },
    onNew: (next: string) => {
      setShelf(false);
      setBegin(next);
      go(next);
    },
    onTakeBack: (text: SetAside) => {
      setShelf(false);
      setTakeBack(text);
      go(text.id);
    },
  };
  return (
    <>
      {state.phase === "empty" ? (
        <main className="shelf-page">
          <h1>Write a procedure</h1>
          <Shelf {...shelfProps} />
        </main>
      ) : null}
      {state.phase === "opening" ? (
        <main className="desk-wait" aria-busy="true">
          <p>Opening {state.id}</p>
        </main>
      ) : null}
      {state.phase === "failed" ? (
        <main className="desk-wait">
          <h1>{state.missing ? "There is no such procedure" : "It could not be opened"}</h1>
          <p>
            {state.missing
              ? `Nothing is saved or kept under the name “${state.id}”.`
              : `${state.message} Nothing of “${state.id}” is kept in this browser either. What was typed elsewhere is safe there.`}
          </p>
          <div className="notice-acts">
            {state.missing ? (
              <Button small onClick={beginNew}>
                Begin it as a new procedure
              </Button>
            ) : (
              <Button small onClick={desk.openAgain}>
                Try again
              </Button>
            )}
            <Button small look="plain" onClick={() => setShelf(true)}>
              Procedures
            </Button>
          </div>
        </main>
      ) : null}
      {state.phase === "open" ? (
        <DeskOpen
          key={state.opening}
          desk={desk}
          open={state}
          takeBack={takeBack?.id === state.id ? takeBack : undefined}
          onTakenBack={() => setTakeBack(undefined)}
          onShelf={() => setShelf(true)}
        />
      ) : null}
      {shelf ? (
        <Sheet title="Open another" onClose={() => setShelf(false)}>
          <Shelf {...shelfProps} />
          <Button look="plain" small onClick={() => setShelf(false)}>
            Stay here
          </Button>
        </Sheet>
      ) : null}
    </>
  );
}
