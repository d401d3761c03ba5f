/** Builds the pages: the technician's app at `/`, the author's at `/author`, into `.build/web`. */
import { existsSync } from "node:fs";
import react from "@vitejs/plugin-react";
import { defineConfig } from "vite";
import { VitePWA } from "vite-plugin-pwa";

const PAGES = { runner: "runner/app/index.html", author: "author/app/index.html" };

const SHARED =
  /\/(engine|schemas|runner\/kit)\/|\/node_modules\/(react|react-dom|scheduler|use-sync-external-store|xstate|@xstate|yaml|@noble|idb|@marcbachmann|fastest-levenshtein|@fontsource-variable)\//;

export default defineConfig({
  base: "/",
  publicDir: false,
  plugins: [
    react(),
    VitePWA({
      filename: "offline.js",
      // The page registers the worker itself: an inline script would break the Content-Security-Policy.
      injectRegister: false,
      registerType: "prompt",
      manifest: {
        name: "Probewright",
        short_name: "Probewright",
        description: "Guided fault isolation, one prompt at a time",
        start_url: "/",
        display: "standalone",
        background_color: "#e4e8e2",
        theme_color: "#e4e8e2",
        icons: [],
      },
      workbox: {
        // The technician's app only: the author's editor and drawing are large and need the server anyway.
        globPatterns: [
          "runner/app/index.html",
          "assets/{runner,shared,rolldown-runtime}-*.{js,css}",

          "assets/*.{woff2,svg}",
        ],
        navigateFallback: "/runner/app/index.html",
        navigateFallbackDenylist: [/^\/api\//, /^\/author/],
        inlineWorkboxRuntime: true,
      },
    }),
  ],
  build: {
    outDir: ".build/web",
    emptyOutDir: true,
    // Everything is a file of its own: data addresses and inline scripts would break the policy.
    assetsInlineLimit: 0,
    modulePreload: { polyfill: false },
    chunkSizeWarningLimit: 900,
    rollupOptions: {
      input: Object.fromEntries(Object.entries(PAGES).filter(([, file]) => existsSync(file))),
      output: {
        // What both pages use, in one file by a known name, so that the offline worker can keep it.
        codeSplitting: { groups: [{ name: "shared", test: SHARED }] },
      },
    },
  },
});
