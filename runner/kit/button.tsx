import { type ComponentProps, useContext } from "react";
import { Settling } from "./settling.ts";
import "./button.css";

export interface ButtonProps extends ComponentProps<"button"> {
  /** `act`: the one thing to do, at the bottom; `plain`: another way; `quiet`: small, loses nothing. */
  readonly look?: "act" | "plain" | "quiet";
  /** Less tall, as wide as its words: for toolbars, not for thumbs. */
  readonly small?: boolean;
}

/** A button; 60 px high unless it is quiet or small. */
export function Button({
  look = "act",
  small = false,
  className,
  type = "button",
  disabled = false,
  ...rest
}: ButtonProps) {
  const settling = useContext(Settling) && look !== "quiet" && !disabled;
  const classes = ["button", `button-${look}`];
  if (small) classes.push("button-small");
  if (className !== undefined) classes.push(className);
  // While a card settles the button keeps its look: only its answer waits.
  const waits = settling ? { "data-settling": true } : {};
  return (
    <button type={type} className={classes.join(" ")} disabled={disabled || settling} {...waits} {...rest} />
  );
}
