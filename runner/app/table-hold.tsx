import type { ReactNode } from "react";

/** Around a table that may be wider than the screen: scrolled by finger and by keyboard. */
export function TableHold({ title, children }: { readonly title: string; readonly children: ReactNode }) {
  return (
    // biome-ignore lint/a11y/noNoninteractiveTabindex: what scrolls must be reached by keyboard.
    <section className="table-hold" tabIndex={0} aria-label={title}>
      {children}
    </section>
  );
}
