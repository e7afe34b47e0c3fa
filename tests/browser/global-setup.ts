import { execFileSync } from 'node:child_process';
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { type Plugin, preview } from 'vite';
import type { TestProject } from 'vitest/node';
import { CHROMIUM_ARGS, findChromium, SHORT_LIVED } from './chromium.ts';

/** Builds the page once (unless LUGLINE_DIST names a folder that was just built), serves it and finds a browser. */
export default async function setup(project: TestProject): Promise<() => Promise<void>> {
  const root = join(import.meta.dirname, '..', '..');
  let outDir = process.env.LUGLINE_DIST;
  if (outDir === undefined) {
    outDir = join(root, 'node_modules', '.cache', 'lugline', `dist-${project.name}`);
    buildPage(root, outDir);
  }
  const server = await preview({
    plugins: [unpacked, clearing, newerBuild(outDir)],
    root,
    logLevel: 'warn',
    build: { outDir },
    preview: { port: 0, host: '127.0.0.1' },
  });
  const address = server.httpServer.address();
  if (address === null || typeof address === 'string') throw new Error('The preview server has no port.');
  project.provide('appUrl', `http://127.0.0.1:${address.port}/`);
  project.provide('distDir', outDir);
  project.provide('chromiumPath', await findChromium());
  project.provide('chromiumArgs', project.name === 'browser' ? [...CHROMIUM_ARGS, SHORT_LIVED] : CHROMIUM_ARGS);
  return () => server.close();
}

/** From this machine to itself: to pack every file for every opening of the page takes longer than to send it. */
const unpacked: Plugin = {
  name: 'unpacked',
  configurePreviewServer({ middlewares }) {
    middlewares.use((request, _response, next) => {
      delete request.headers['accept-encoding'];
      next();
    });
  },
};

/** An address that makes the browser clear what it stores of the page, as it does by itself when room is short (W3C, Clear Site Data). */
const clearing: Plugin = {
  name: 'clear-site-data',
  configurePreviewServer({ middlewares }) {
    middlewares.use('/clear-site-data', (_request, response) => {
      response.setHeader('Clear-Site-Data', '"storage"');
      response.end('cleared');
    });
  },
};

/** To a browser with the cookie `build=newer` the folder is another build: another page, and a service worker of another version. */
function newerBuild(outDir: string): Plugin {
  const changes: Readonly<Record<string, (text: string) => string>> = {
    'index.html': (text) => text.replace('<html', '<html data-build="newer"'),
    'offline.js': (text) => text.replace(/"version":"\w+"/, '"version":"newer"'),
  };
  return {
    name: 'newer-build',
    configurePreviewServer({ middlewares }) {
      middlewares.use((request, response, next) => {
        const name = request.url === '/' ? 'index.html' : (request.url ?? '').slice(1);
        const change = changes[name];
        if (change === undefined || !/\bbuild=newer\b/.test(request.headers.cookie ?? '')) return next();
        response.setHeader('Content-Type', name.endsWith('.js') ? 'text/javascript' : 'text/html');
        response.end(change(readFileSync(join(outDir, name), 'utf8')));
      });
    },
  };
}

/** In a process of its own: the test runner's NODE_ENV would put React's slow development build into the page. */
function buildPage(root: string, outDir: string): void {
  const { NODE_ENV: _, ...env } = process.env;
  execFileSync('npx', ['vite', 'build', '--logLevel', 'warn', '--emptyOutDir', '--outDir', outDir], {
    cwd: root,
    env,
    stdio: 'inherit',
  });
}
