import { type FormEvent, useEffect, useId, useRef, useState } from "react";
import { Button } from "../../runner/kit/button.tsx";
import { listDrafts, listSetAside, type SetAside, type StoredDraft } from "./draft-store.ts";
import { clock } from "./offers.tsx";
import { listProcedures, type ShelfEntry } from "./server-calls.ts";

export interface ShelfProps {
  /** The one on the desk now. */
  readonly current: string | undefined;
  readonly onOpen: (id: string) => void;
  readonly onNew: (id: string) => void;
  /** A text that was set aside goes back into the editor. */
  readonly onTakeBack: (text: SetAside) => void;
}

type Listed =
  | { readonly phase: "loading" }
  | { readonly phase: "failed"; readonly message: string }
  | { readonly phase: "listed"; readonly entries: readonly ShelfEntry[] };

/** The procedures of the shop, the drafts of this browser, texts set aside, and the way to a new one. */
export function Shelf({ current, onOpen, onNew, onTakeBack }: ShelfProps) {
  const [listed, setListed] = useState<Listed>({ phase: "loading" });
  const [drafts, setDrafts] = useState<readonly StoredDraft[]>([]);
  const [aside, setAside] = useState<readonly SetAside[]>([]);
  const [attempt, setAttempt] = useState(0);

  // biome-ignore lint/correctness/useExhaustiveDependencies: another attempt asks again.
  useEffect(() => {
    let left = false;
    setListed({ phase: "loading" });
    void listProcedures().then((answer) => {
      if (left) return;
      setListed(
        answer.ok ? { phase: "listed", entries: answer.value } : { phase: "failed", message: answer.message },
      );
    });
    void listDrafts().then((found) => left || setDrafts(found));
    void listSetAside().then((found) => left || setAside(found));
    return () => {
      left = true;
    };
  }, [attempt]);

  const entries = listed.phase === "listed" ? listed.entries : [];
  const onlyHere = drafts.filter(({ id }) => !entries.some((entry) => entry.id === id));
  return (
    <div className="shelf">
      <section aria-labelledby="shelf-procedures">
        <h2 id="shelf-procedures">Procedures</h2>
        {listed.phase === "loading" ? <p className="soft">Fetching the list</p> : null}
        {listed.phase === "failed" ? (
          <div className="shelf-trouble" role="alert">
            <p>{listed.message} Drafts kept in this browser can be written on.</p>
            <Button look="plain" small onClick={() => setAttempt(attempt + 1)}>
              Try again
            </Button>
          </div>
        ) : null}
        {listed.phase === "listed" && entries.length === 0 ? (
          <p className="soft">There is no procedure yet. Begin the first one below.</p>
        ) : null}
        <ul className="shelf-list">
          {entries.map((entry) => (
            <Row
              key={entry.id}
              id={entry.id}
              title={entry.title}
              current={entry.id === current}
              lines={[
                entry.complaint,
                [
                  ...entry.equipment,
                  `revision ${entry.revision}`,
                  ...(entry.usable ? [] : ["has things to mend"]),
                  ...(drafts.some(({ id }) => id === entry.id) ? ["draft in this browser"] : []),
                ].join(" · "),
              ]}
              onOpen={onOpen}
            />
          ))}
        </ul>
      </section>
      {onlyHere.length > 0 ? (
        <section aria-labelledby="shelf-drafts">
          <h2 id="shelf-drafts">Drafts in this browser</h2>
          <ul className="shelf-list">
            {onlyHere.map(({ id, at }) => (
              <Row
                key={id}
                id={id}
                title={id}
                current={id === current}
                lines={[`typed on ${clock(at)}`]}
                onOpen={onOpen}
              />
            ))}
          </ul>
        </section>
      ) : null}
      <NewProcedure taken={entries.map(({ id }) => id)} onNew={onNew} />
      {aside.length > 0 ? (
        <section aria-labelledby="shelf-aside">
          <h2 id="shelf-aside">Set aside</h2>
          <p className="soft">Texts that were taken out of the editor for another one.</p>
          <ul className="shelf-list">
            {aside.map((text) => (
              <li key={text.key} className="shelf-aside">
                <span>
                  {text.id}, {clock(text.at)}
                </span>
                <Button look="plain" small onClick={() => onTakeBack(text)}>
                  Take it back
                </Button>
              </li>
            ))}
          </ul>
        </section>
      ) : null}
    </div>
  );
}

interface RowProps {
  readonly id: string;
  readonly title: string;
  readonly lines: readonly string[];
  readonly current: boolean;
  readonly onOpen: (id: string) => void;
}

function Row({ id, title, lines, current, onOpen }: RowProps) {
  return (
    <li>
      <button
        type="button"
        className="shelf-row"
        aria-current={current ? "page" : undefined}
        onClick={() => onOpen(id)}
      >
        <strong>{title}</strong>
        {lines.map((line) => (
          <span key={line} className="soft">
            {line}
          </span>
        ))}
      </button>
    </li>
  );
}

/** Ids are file names and XML-free words: kebab-case, as the format asks. */
const ID = /^[a-z][a-z0-9]*(-[a-z0-9]+)*$/;
const LONGEST_ID = 80;

function NewProcedure({
  taken,
  onNew,
}: {
  readonly taken: readonly string[];
  readonly onNew: (id: string) => void;
}) {
  const [name, setName] = useState("");
  const [tried, setTried] = useState(false);
  const field = useId();
  const input = useRef<HTMLInputElement>(null);
  const id = name.trim().toLowerCase().replace(/\s+/g, "-");
  const trouble = troubleWith(id, taken);
  const submit = (event: FormEvent) => {
    event.preventDefault();
    setTried(true);
    if (trouble === undefined) onNew(id);
    else input.current?.focus();
  };
  return (
    <section aria-labelledby="shelf-new">
      <h2 id="shelf-new">A new procedure</h2>
      <form className="shelf-new" onSubmit={submit} noValidate>
        <label htmlFor={field}>The complaint in a few words</label>
        <input
          ref={input}
          id={field}
          value={name}
          placeholder="gate-lift-stays-up"
          autoComplete="off"
          spellCheck={false}
          aria-invalid={tried && trouble !== undefined}
          aria-describedby={`${field}-help`}
          onChange={(event) => setName(event.target.value)}
        />
        <p id={`${field}-help`} className={tried && trouble ? "refusal" : "soft"}>
          {(tried ? trouble : undefined) ??
            (trouble === undefined
              ? `The file will be ${id}.yaml. It begins as a sound example to be changed.`
              : "Lower-case words with hyphens between them; the file is named so.")}
        </p>
        <Button small look={trouble === undefined ? "act" : "plain"} type="submit">
          Begin it
        </Button>
      </form>
    </section>
  );
}

function troubleWith(id: string, taken: readonly string[]): string | undefined {
  if (id === "") return "Give it a name first: the complaint in a few words.";
  if (id.length > LONGEST_ID) return `That is too long for a name: at most ${LONGEST_ID} letters.`;
  if (!ID.test(id)) return "Only the letters a to z, digits and hyphens, a letter first.";
  if (taken.includes(id)) return "There is a procedure of that name already: open it above.";
  return undefined;
}
