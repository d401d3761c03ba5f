import "../kit/base.css";
import { StrictMode } from "react";
import { createRoot } from "react-dom/client";
import { App } from "./app.tsx";
import { keepPageOffline } from "./keep-page-offline.ts";
import { showTheme } from "./preferences.ts";
import { openServices, ServicesContext } from "./services.ts";

showTheme();
const root = document.getElementById("root");
if (root !== null) {
  const services = await openServices();
  createRoot(root).render(
    <StrictMode>
      <ServicesContext value={services}>
        <App />
      </ServicesContext>
    </StrictMode>,
  );
}
keepPageOffline();
