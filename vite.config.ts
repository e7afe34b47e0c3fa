import { fileURLToPath } from 'node:url';
import react from '@vitejs/plugin-react';
import { defineConfig } from 'vitest/config';

const BROWSER_SETUP = './tests/browser/global-setup.ts';

export default defineConfig({
  plugins: [react()],
  // Relative addresses: the built folder works from any path of any static host.
  base: './',
  worker: { format: 'es' },
  resolve: {
    alias: [
      // What d3-zoom and d3-scale bring along and nothing here uses; the size budget has no room for it.
      {
        find: /^d3-transition$/,
        replacement: fileURLToPath(new URL('src/plot/lean-d3/no-transition.ts', import.meta.url)),
      },
      { find: /^d3-color$/, replacement: fileURLToPath(new URL('src/plot/lean-d3/no-colour.ts', import.meta.url)) },
    ],
  },
  build: {
    target: 'es2023',
    modulePreload: { polyfill: false },
    // The shop opens the page once and works offline from then on: one script, no late chunk that a dead network would miss.
    chunkSizeWarningLimit: 2000,
  },
  preview: { port: 4173 },
  test: {
    projects: [
      {
        extends: true,
        test: {
          name: 'unit',
          include: ['tests/**/*.test.ts'],
          exclude: ['tests/browser/**', 'tests/bench/**'],
          environment: 'node',
        },
      },
      {
        extends: true,
        test: {
          name: 'component',
          include: ['tests/**/*.test.tsx'],
          exclude: ['tests/browser/**', 'tests/bench/**'],
          environment: 'jsdom',
        },
      },
      {
        test: {
          name: 'browser',
          include: ['tests/browser/**/*.test.ts'],
          environment: 'node',
          globalSetup: BROWSER_SETUP,
          testTimeout: 60_000,
          hookTimeout: 120_000,
          fileParallelism: false,
        },
      },
      {
        extends: true,
        test: {
          name: 'bench',
          include: ['tests/bench/**/*.bench.ts'],
          exclude: ['tests/bench/browser-*.bench.ts'],
          environment: 'node',
          testTimeout: 300_000,
          fileParallelism: false,
          sequence: { groupOrder: 1 },
        },
      },
      {
        test: {
          name: 'bench-browser',
          include: ['tests/bench/browser-*.bench.ts'],
          environment: 'node',
          globalSetup: BROWSER_SETUP,
          testTimeout: 300_000,
          hookTimeout: 120_000,
          fileParallelism: false,
          sequence: { groupOrder: 2 },
        },
      },
    ],
  },
});
