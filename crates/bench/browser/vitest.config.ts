import { defineConfig } from "vitest/config";

// One browser at a time: what is measured is the page, not two of them beside each other.
export default defineConfig({
  test: {
    environment: "node",
    fileParallelism: false,
    testTimeout: 120_000,
    hookTimeout: 60_000,
    // As long as the browser itself is waited for.
    expect: { poll: { timeout: 30_000 } },
  },
});
