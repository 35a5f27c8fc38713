import { defineConfig } from "vitest/config";

export default defineConfig({
  base: "./",
  build: {
    // The server gives out one flat folder; every file is its own, so that the policy needs no exceptions.
    assetsDir: "",
    assetsInlineLimit: 0,
    modulePreload: { polyfill: false },
  },
  test: { environment: "happy-dom" },
});
