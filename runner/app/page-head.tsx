import { useState } from "react";
import { Button } from "../kit/button.tsx";
import "../kit/layout.css";
import "./page.css";
import { hashOf } from "./route.ts";
import { SettingsSheet } from "./settings-sheet.tsx";

/** The head of every page that is no run: the name, the ways to the other pages, settings. */
export function PageHead() {
  const [open, setOpen] = useState(false);
  return (
    <header className="head">
      <a className="name" href={hashOf({ page: "home" })}>
        Probewright
      </a>
      <nav className="page-links" aria-label="Pages">
        <a className="button button-quiet" href={hashOf({ page: "traffic" })}>
          Traffic
        </a>
        <a className="button button-quiet" href="/author">
          Write procedures
        </a>
        <Button look="quiet" onClick={() => setOpen(true)}>
          Settings
        </Button>
      </nav>
      {open ? <SettingsSheet onClose={() => setOpen(false)} /> : null}
    </header>
  );
}
