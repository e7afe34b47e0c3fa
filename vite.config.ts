import { createHash } from 'node:crypto';
import { readdirSync, readFileSync } from 'node:fs';
import { availableParallelism } from 'node:os';
import { basename } from 'node:path';
import { fileURLToPath } from 'node:url';
import react from '@vitejs/plugin-react';
import type { Plugin } from 'vite';
import { defineConfig } from 'vitest/config';
import { joinedSource } from './tests/joined-source.ts';
import { LONGEST_FILES, LongFilesFirst } from './tests/long-files-first.ts';

/** React Aria ships its few spoken words in 34 languages; the page speaks English and has a size budget. */
const englishOnly: Plugin = {
  name: 'english-only',
  enforce: 'pre',
  load: (id) =>
    /react-aria\/dist\/private\/intl\/.*\/(?!en-US)[a-z]{2}-[A-Z]{2}\.mjs$/.test(id) ? 'export default {};' : null,
};

/**
 * What PDF.js fetches by name while it draws a page: decoders, fonts that documents do not carry, character maps, colour profiles. Served
 * and built from the package, so that nothing is fetched from anywhere else.
 */
const pdfParts: Plugin = {
  name: 'pdf-parts',
  configureServer(server) {
    server.middlewares.use((request, response, next) => {
      const [, folder = '', name = ''] = /^\/pdf\/(\w+)\/([\w.-]+)$/.exec(request.url ?? '') ?? [];
      if (!PDF_FOLDERS.includes(folder)) return next();
      response.setHeader('Content-Type', name.endsWith('.wasm') ? 'application/wasm' : 'application/octet-stream');
      response.end(readFileSync(`${PDF_HOME}/${folder}/${name}`));
    });
  },
  generateBundle() {
    for (const folder of PDF_FOLDERS) {
      for (const name of readdirSync(`${PDF_HOME}/${folder}`)) {
        const source = readFileSync(`${PDF_HOME}/${folder}/${name}`);
        this.emitFile({ type: 'asset', fileName: `pdf/${folder}/${name}`, source });
      }
    }
  },
};
const PDF_HOME = fileURLToPath(new URL('node_modules/pdfjs-dist', import.meta.url));
const PDF_FOLDERS = ['cmaps', 'iccs', 'standard_fonts', 'wasm'];

/**
 * What the page may load and do, by the browser's own hand: its own scripts, styles, fonts and workers, pictures that it holds itself, and
 * nothing from or to anywhere else. WebAssembly is what PDF.js decodes pictures with. Inline styles are how charts are drawn; they can
 * fetch nothing that is not allowed below.
 */
const POLICY = [
  "default-src 'none'",
  "script-src 'self' 'wasm-unsafe-eval'",
  "style-src 'self' 'unsafe-inline'",
  "img-src 'self' blob: data:",
  "font-src 'self'",
  "connect-src 'self'",
  "worker-src 'self'",
  "manifest-src 'self'",
  "base-uri 'none'",
  "form-action 'none'",
].join('; ');

/** In the built page, for hosts that send no headers. While developing, the server's own inline scripts must run. */
const contentSecurityPolicy: Plugin = {
  name: 'content-security-policy',
  apply: 'build',
  transformIndexHtml: () => [
    { tag: 'meta', attrs: { 'http-equiv': 'Content-Security-Policy', content: POLICY }, injectTo: 'head-prepend' },
  ],
};

/** What `npm start` sends, and any host should (README.md). Only a header can forbid being framed. */
const HEADERS = {
  'Content-Security-Policy': `${POLICY}; frame-ancestors 'none'`,
  'X-Frame-Options': 'DENY',
  'X-Content-Type-Options': 'nosniff',
  'Referrer-Policy': 'no-referrer',
  'Cross-Origin-Opener-Policy': 'same-origin',
};

/**
 * The service worker beside index.html, with the parts that the page needs to open without a server. Its version is a hash of their names,
 * which hold a hash of their content, and of the page itself. What only a PDF needs is left out: the worker keeps it once it was fetched.
 */
const offlineWorker: Plugin = {
  name: 'offline-worker',
  apply: 'build',
  enforce: 'post',
  generateBundle(_options, bundle) {
    const built = Object.keys(bundle).filter((name) => !/^pdf\/|openPdf|pdf\.worker|openjpeg/.test(name));
    const files = ['./', ...built.filter((name) => name !== 'index.html'), ...PUBLIC_PARTS].toSorted();
    const page = bundle['index.html'];
    const text = JSON.stringify(files) + (page?.type === 'asset' ? String(page.source) : '');
    const parts = { version: createHash('sha256').update(text).digest('hex').slice(0, 12), files };
    const code = readFileSync(new URL('src/app/offline.js', import.meta.url), 'utf8');
    this.emitFile({
      type: 'asset',
      fileName: 'offline.js',
      source: code.replace('= PARTS;', `= ${JSON.stringify(parts)};`),
    });
  },
};
const PUBLIC_PARTS = ['manifest.webmanifest', 'icon.svg', 'icon-192.png', 'icon-512.png'];

/** All that reads what another program wrote, in one piece: where there is such a thing, the first picture waits for it. */
const GATE = /\/build\/(?:mapFile|openFormat|openSaved|schema|tracing)\.ts$|\/storage\/gate\.ts$|\/node_modules\/zod\//;

/** What the first script reaches through the index of a folder and does not use. */
const ONLY_LATER =
  /\/(?:bindings|clipboardTable|DataTable|line-results|mapPictures|shelf|studyInput|turbineFile|storage\/(?:backupKeeper|files))\.tsx?$/;

const BROWSER_SETUP = './tests/browser/global-setup.ts';
const RUNNING_SETUP = './tests/running-setup.ts';

/**
 * Times after which a test has hung. They are many times what any test takes, so that no machine is too slow for them: how fast something
 * is, `tests/bench` measures. tests/run.mjs waits a little longer for a test that holds its core and cannot be timed out from within.
 * `npm run fuzz` goes on for as long as it takes: its tests end by their counts.
 */
const PATIENT = {
  testTimeout: process.env.LUGLINE_FUZZ === 'long' ? 0 : 240_000,
  hookTimeout: 240_000,
  expect: { poll: { timeout: 60_000 } },
};
/** The runner would leave one core to itself, which is half of a machine with two. */
const ON_ALL_CORES = { ...PATIENT, maxWorkers: availableParallelism() };

const { version, dependencies } = JSON.parse(readFileSync(new URL('package.json', import.meta.url), 'utf8')) as {
  version: string;
  dependencies: { zod: string };
};

/** Folders that only show what is stored; every other says what may be in a record, a new one too. */
const ONLY_SHOW = /^(?:store|plot|widgets|views|app)\//;

/** A hash of all that says what may be in a stored record (`src/storage/seals.ts`): another one, and every record passes the gate again. */
function formOfRecords(): string {
  const hash = createHash('sha256');
  const src = new URL('src/', import.meta.url);
  const names = readdirSync(src, { recursive: true, encoding: 'utf8' }).map((name) => name.replaceAll('\\', '/'));
  for (const name of names.filter((one) => one.endsWith('.ts') && !ONLY_SHOW.test(one)).toSorted())
    hash.update(name).update(readFileSync(new URL(name, src)));
  return hash.update(dependencies.zod).digest('hex').slice(0, 12);
}

const wordsOfBuild = (form: string) => ({
  __PROGRAM_VERSION__: JSON.stringify(version),
  __FORM__: JSON.stringify(form),
});

export default defineConfig(({ command }) => ({
  // While developing, the form may change under a page that is open.
  define: wordsOfBuild(command === 'build' ? formOfRecords() : ''),
  plugins: [react(), englishOnly, pdfParts, contentSecurityPolicy, offlineWorker],
  // Relative addresses: the built folder works from any path of any static host.
  base: './',
  worker: { format: 'es' },
  // Short names pack better; no two modules of styles have one name.
  css: { modules: { generateScopedName: (name, file) => `${name}_${basename(file).split('.')[0]}` } },
  build: {
    target: 'es2023',
    // A late part names its own parts; their list in the first script would be read by nobody before all of them are there. Only what the
    // first picture may wait for is fetched at once with what needs it.
    modulePreload: {
      polyfill: false,
      resolveDependencies: (name, parts) =>
        parts.filter((part) => part.endsWith('.css') || (/(?:demo|gate)-/.test(name) && /sheets-/.test(part))),
    },
    // Views that are not seen first are parts of their own, fetched as soon as the page is idle.
    chunkSizeWarningLimit: 2000,
    // What the page needs to open is one script: cut along what the late parts share, it was forty, and packed and fetched less well.
    rolldownOptions: {
      output: {
        codeSplitting: {
          groups: [
            { name: 'first', tags: ['$initial'], test: (id) => !ONLY_LATER.test(id) && !GATE.test(id) },
            // Of the demonstration as well, which a first visit waits for.
            { name: 'sheets', test: /\/build\/turbineFile\.ts$/ },
            { name: 'gate', test: GATE },
          ],
        },
      },
    },
  },
  preview: { port: 4173, headers: HEADERS },
  test: {
    // An order of one's own would win over a shuffled one that is asked for.
    sequence: process.argv.some((word) => word.includes('shuffle')) ? {} : { sequencer: LongFilesFirst },
    projects: [
      {
        extends: true,
        plugins: [joinedSource(wordsOfBuild('the form of these tests'))],
        test: {
          ...ON_ALL_CORES,
          name: 'unit',
          include: ['tests/**/*.test.ts'],
          // `npm run check` leaves out what takes long.
          exclude: [
            'tests/browser/**',
            'tests/fuzz/browser/**',
            'tests/bench/**',
            'tests/engines/**',
            ...(process.env.LUGLINE_QUICK === undefined ? [] : LONGEST_FILES),
          ],
          environment: 'node',
          setupFiles: [RUNNING_SETUP],
          // Modules keep no state that a test could see, so they are loaded once a worker and not once a file.
          isolate: false,
        },
      },
      {
        extends: true,
        plugins: [joinedSource(wordsOfBuild('the form of these tests'))],
        test: {
          ...ON_ALL_CORES,
          name: 'component',
          include: ['tests/**/*.test.tsx'],
          exclude: ['tests/browser/**', 'tests/bench/**'],
          environment: 'jsdom',
          isolate: false,
          setupFiles: [RUNNING_SETUP, './tests/component-setup.ts'],
        },
      },
      {
        test: {
          ...PATIENT,
          name: 'browser',
          // As above; and one browser a worker.
          isolate: false,
          include: ['tests/browser/**/*.test.ts', 'tests/fuzz/browser/*.test.ts'],
          environment: 'node',
          globalSetup: BROWSER_SETUP,
          setupFiles: [RUNNING_SETUP, './tests/browser/file-setup.ts'],
          maxWorkers: 2,
          sequence: { groupOrder: 1 },
        },
      },
      {
        test: {
          ...PATIENT,
          name: 'engines',
          include: ['tests/engines/**/*.test.ts'],
          environment: 'node',
          globalSetup: BROWSER_SETUP,
          setupFiles: [RUNNING_SETUP],
          maxWorkers: 1,
          sequence: { groupOrder: 4 },
        },
      },
      {
        extends: true,
        test: {
          ...PATIENT,
          name: 'bench',
          include: ['tests/bench/**/*.bench.ts'],
          exclude: ['tests/bench/browser-*.bench.ts'],
          environment: 'node',
          fileParallelism: false,
          sequence: { groupOrder: 2 },
        },
      },
      {
        test: {
          ...PATIENT,
          name: 'bench-browser',
          include: ['tests/bench/browser-*.bench.ts'],
          environment: 'node',
          globalSetup: BROWSER_SETUP,
          fileParallelism: false,
          sequence: { groupOrder: 3 },
        },
      },
    ],
  },
}));
