import type { ReactNode } from "react";

export interface NoticeBarProps {
  readonly text: string;
  /** Something did not work: it is read out at once. */
  readonly alert: boolean;
  readonly children?: ReactNode;
}

/** A sentence over the panes, with what can be done about it. */
export function NoticeBar({ text, alert, children }: NoticeBarProps) {
  return (
    <section className="notice-bar" role={alert ? "alert" : undefined} aria-label="Notice">
      <p>{text}</p>
      {children === undefined ? null : <div className="notice-acts">{children}</div>}
    </section>
  );
}
