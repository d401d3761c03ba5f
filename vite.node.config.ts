/** Builds the command line and the server into one file that Node runs: `.build/node/main.js`. */
import { defineConfig } from "vite";

export default defineConfig({
  // Assets of the web build are no part of this one.
  publicDir: false,
  build: {
    ssr: "runner/terminal/main.ts",
    outDir: ".build/node",
    emptyOutDir: true,
    target: "node20",
    sourcemap: true,
    minify: false,
    rollupOptions: { output: { format: "es", entryFileNames: "main.js", chunkFileNames: "[name].js" } },
  },
});
