/** Builds the command line and the server for Node: `.build/node/main.js`, and its worker beside it. */
import { defineConfig } from "vite";

export default defineConfig({
  // Assets of the web build are no part of this one.
  publicDir: false,
  build: {
    ssr: true,
    outDir: ".build/node",
    emptyOutDir: true,
    target: "node20",
    sourcemap: true,
    minify: false,
    rollupOptions: {
      // A worker is started by its file: it has to be one of its own.
      input: { main: "runner/terminal/main.ts", "rehearse-worker": "runner/terminal/rehearse-worker.ts" },
      output: { format: "es", entryFileNames: "[name].js", chunkFileNames: "[name].js" },
    },
  },
});
