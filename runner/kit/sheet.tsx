import { type ReactNode, useEffect, useId, useRef } from "react";
import "./sheet.css";

/** A sheet over the card: modal, closed by Escape or by `onClose`; nothing under it is lost. */
export function Sheet({
  title,
  onClose,
  children,
}: {
  readonly title: string;
  readonly onClose: () => void;
  readonly children: ReactNode;
}) {
  const dialog = useRef<HTMLDialogElement>(null);
  const heading = useRef<HTMLHeadingElement>(null);
  const id = useId();
  useEffect(() => {
    const element = dialog.current;
    if (element === null || element.open) return;
    element.showModal();
    heading.current?.focus();
    return () => element.close();
  }, []);
  return (
    <dialog
      ref={dialog}
      className="sheet"
      aria-labelledby={id}
      onCancel={(cancel) => {
        cancel.preventDefault();
        onClose();
      }}
    >
      <h2 id={id} ref={heading} tabIndex={-1}>
        {title}
      </h2>
      {children}
    </dialog>
  );
}
