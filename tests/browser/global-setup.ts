import { join } from 'node:path';
import { build, preview } from 'vite';
import type { TestProject } from 'vitest/node';
import { findChromium } from './chromium.ts';

/** Builds the page once (unless LUGLINE_DIST names a folder that was just built), serves it and finds a browser. */
export default async function setup(project: TestProject): Promise<() => Promise<void>> {
  const root = join(import.meta.dirname, '..', '..');
  let outDir = process.env.LUGLINE_DIST;
  if (outDir === undefined) {
    outDir = join(root, 'node_modules', '.cache', 'lugline', `dist-${project.name}`);
    await build({ root, logLevel: 'warn', build: { outDir, emptyOutDir: true } });
  }
  const server = await preview({ root, logLevel: 'warn', build: { outDir }, preview: { port: 0, host: '127.0.0.1' } });
  const address = server.httpServer.address();
  if (address === null || typeof address === 'string') throw new Error('The preview server has no port.');
  project.provide('appUrl', `http://127.0.0.1:${address.port}/`);
  project.provide('chromiumPath', await findChromium());
  return () => server.close();
}
