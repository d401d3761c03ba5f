import { useEffect, useId, useRef } from "react";
import { displayUnit } from "../../engine/quantity/units.ts";
import { isReading, keyFromKeyboard, pressKey, type ReadingKey } from "./reading-keys.ts";
import { prefixKeys } from "./unit-choices.ts";
import { unitName } from "./unit-name.ts";
import "./keypad.css";

export interface KeypadProps {
  /** What is being typed, for readers: "Reading", "Leads held together". */
  readonly label: string;
  readonly text: string;
  readonly onText: (text: string) => void;
  readonly unit: string;
  /** Units that can be chosen; one means there is nothing to choose. */
  readonly units: readonly string[];
  readonly onUnit: (unit: string) => void;
  /** Enter on a keyboard. */
  readonly onEnter: () => void;
  /** Id of the sentence that says what is wrong with the text. */
  readonly describedBy?: string;
}

const SPOKEN: Readonly<Partial<Record<ReadingKey, string>>> = {
  OL: "OL, over range",
  k: "k, kilo",
  m: "m, milli",
  "-": "minus",
  ".": "point",
};

/** The reading being typed and its pad. The text is kept and shown as typed; a keyboard works as well. */
export function Keypad(props: KeypadProps) {
  const field = useRef<HTMLInputElement>(null);
  const prefixes = prefixKeys(props.unit);
  useKeyboard(props, field);
  const press = (key: ReadingKey) => {
    navigator.vibrate?.(8);
    props.onText(pressKey(props.text, key));
  };
  return (
    <div className="keypad">
      <div className={readingClass(props.text)}>
        <span className="reading-text" aria-hidden="true">
          {props.text.replace("-", "\u2212")}
          <span className="reading-caret" />
        </span>
        <input
          ref={field}
          className="reading-field"
          aria-label={`${props.label}, in ${unitName(props.unit) ?? props.unit}`}
          aria-describedby={props.describedBy}
          inputMode="none"
          autoComplete="off"
          spellCheck={false}
          maxLength={120}
          value={props.text}
          onChange={(change) => props.onText(change.target.value.replace("\u2212", "-"))}
        />
        <UnitChoice {...props} />
      </div>
      {/* biome-ignore lint/a11y/useSemanticElements: a fieldset would draw and read a form where there is none. */}
      <div className={`keys keys-prefixes-${prefixes.length}`} role="group" aria-label="Reading keys">
        {padKeys(prefixes).map((key) => (
          <Key key={key} name={key} onPress={() => press(key)} />
        ))}
      </div>
    </div>
  );
}

function readingClass(text: string): string {
  if (text.includes(";")) return "reading reading-several";
  return text.length > 7 ? "reading reading-long" : "reading";
}

/** The keys row by row; the last column holds `OL`, the prefixes that mean something, and `erase` below them. */
function padKeys([first, second]: readonly ("k" | "m")[]): readonly ReadingKey[] {
  const row = (keys: readonly ReadingKey[], last: ReadingKey | undefined) =>
    last === undefined ? keys : [...keys, last];
  return [
    ...row(["7", "8", "9"], "OL"),
    ...row(["4", "5", "6"], first),
    ...row(["1", "2", "3"], second),
    ...row(["-", "0", "."], "erase"),
  ];
}

function Key({ name, onPress }: { readonly name: ReadingKey; readonly onPress: () => void }) {
  if (name === "erase")
    return (
      <button type="button" className="key key-other key-erase" onClick={onPress}>
        <svg viewBox="0 0 24 18" aria-hidden="true">
          <path d="M8 2h14v14H8l-6-7z M12 6l6 6 M18 6l-6 6" />
        </svg>
        erase
      </button>
    );
  const isPlain = /^[\d.]$/.test(name);
  return (
    <button
      type="button"
      className={isPlain ? "key" : "key key-other"}
      aria-label={SPOKEN[name]}
      onClick={onPress}
    >
      {name === "-" ? "\u2212" : name}
    </button>
  );
}

function UnitChoice({ unit, units, onUnit }: KeypadProps) {
  const id = useId();
  const words = (one: string) => {
    const name = unitName(one);
    return name === undefined ? displayUnit(one) : `${displayUnit(one)} ${name}`;
  };
  if (units.length < 2)
    return (
      <span className="reading-unit" aria-hidden="true">
        {words(unit)}
      </span>
    );
  return (
    <span className="reading-unit">
      <label className="unseen" htmlFor={id}>
        Unit
      </label>
      <select id={id} value={unit} onChange={(change) => onUnit(change.target.value)}>
        {units.map((one) => (
          <option key={one} value={one}>
            {words(one)}
          </option>
        ))}
      </select>
      <svg className="reading-unit-turn" viewBox="0 0 12 8" aria-hidden="true">
        <path d="M1 1l5 5 5-5" />
      </svg>
    </span>
  );
}

/** A hardware keyboard types without the field being focused, as long as nothing else wants the keys. */
function useKeyboard(props: KeypadProps, field: { readonly current: HTMLInputElement | null }) {
  const latest = useRef(props);
  useEffect(() => {
    latest.current = props;
  });
  useEffect(() => {
    const onKey = (event: KeyboardEvent) => {
      if (event.ctrlKey || event.metaKey || event.altKey || event.defaultPrevented) return;
      const target = event.target;
      const { text, onText, onEnter } = latest.current;
      const inField = target === field.current;
      if (event.key === "Enter" && isReading(text) && (inField || !takesKeys(target))) {
        event.preventDefault();
        onEnter();
        return;
      }
      if (inField || takesTyping(target)) return;
      const key = keyFromKeyboard(event.key);
      if (key === undefined) return;
      event.preventDefault();
      onText(pressKey(text, key));
    };
    document.addEventListener("keydown", onKey);
    return () => document.removeEventListener("keydown", onKey);
  }, [field]);
}

/** Fields, choices and open sheets take what is typed. */
function takesTyping(target: EventTarget | null): boolean {
  return target instanceof Element && target.closest("input, select, textarea, dialog") !== null;
}

/** Buttons and links take Enter as well. */
function takesKeys(target: EventTarget | null): boolean {
  return takesTyping(target) || (target instanceof Element && target.closest("button, a") !== null);
}
