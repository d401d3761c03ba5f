import "../../runner/kit/base.css";
import "@fontsource-variable/atkinson-hyperlegible-mono/wght-italic.css";
import "./author.css";
import { StrictMode } from "react";
import { createRoot } from "react-dom/client";
import { DeskPage } from "./desk-page.tsx";

const root = document.getElementById("root");
if (root) {
  createRoot(root).render(
    <StrictMode>
      <DeskPage />
    </StrictMode>,
  );
}
