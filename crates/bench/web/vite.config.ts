import { defineConfig } from "vitest/config";

/** A `gusset bench` that runs already: the page is then tried beside it, without building the program anew. */
const at = process.env.GUSSET_AT;

/** The server is asked as by its own page. */
const asked = at && {
  "/api": {
    target: at,
    changeOrigin: true,
    headers: { origin: at },
  },
};

export default defineConfig({
  base: "./",
  build: {
    // The server gives out one flat folder; every file is its own, so that the policy needs no exceptions.
    assetsDir: "",
    // The 3-D view is one file, loaded when it is asked for.
    chunkSizeWarningLimit: 600,
    assetsInlineLimit: 0,
    modulePreload: { polyfill: false },
  },
  server: asked ? { proxy: asked } : {},
  test: { environment: "happy-dom" },
});
