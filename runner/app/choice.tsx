import { useId } from "react";

/** One of a few, all in sight. */
export function Choice<T extends string>({
  title,
  options,
  value,
  onChange,
}: {
  readonly title: string;
  readonly options: readonly { readonly id: T; readonly label: string }[];
  readonly value: T | undefined;
  readonly onChange: (id: T) => void;
}) {
  const name = useId();
  return (
    <fieldset className="field">
      <legend className="field-label">{title}</legend>
      <div className="choice-list">
        {options.map((option) => (
          <label key={option.id} className="choice">
            <input
              type="radio"
              name={name}
              checked={option.id === value}
              onChange={() => onChange(option.id)}
            />
            <span>{option.label}</span>
          </label>
        ))}
      </div>
    </fieldset>
  );
}
