import { mkdirSync, readdirSync, rmSync, writeFileSync } from 'node:fs';
import { dirname, join, relative, resolve, sep } from 'node:path';
import { build, type Plugin } from 'vite';

const ROOT = join(import.meta.dirname, '..');
const SRC = join(ROOT, 'src');
const HOME = join(ROOT, 'node_modules', '.cache', 'lugline', 'joined');

/** What does something as it is loaded, or needs a page that draws: modules of their own, as in the built page. */
const ON_ITS_OWN = /(?:orker|main|openPdf)\.tsx?$/;
const PURE = /\/src\/(?:units|numerics|air|compressor|engine|turbine|reading|match|build)\//;

const EMPTY = '\0styles';
const CLASSES = '\0classes';
/** The tests that need styles are those in a browser: here a class is called by its own name. */
const withoutStyles: Plugin = {
  name: 'without-styles',
  enforce: 'pre',
  resolveId: (id) => (id.endsWith('.module.css') ? CLASSES : id.endsWith('.css') ? EMPTY : null),
  load: (id) => {
    if (id === CLASSES) return 'export default new Proxy({}, { get: (_, name) => "_" + String(name) });';
    return id === EMPTY ? '' : null;
  },
};

const isAlive = (pid: number) => {
  try {
    return process.kill(pid, 0);
  } catch {
    return false;
  }
};

/** All of src as two modules, and for every file of src one that passes its names on; gives the folder where they are. */
async function joinSource(define: Record<string, string>): Promise<string> {
  const home = join(HOME, String(process.pid));
  const names = readdirSync(SRC, { recursive: true, encoding: 'utf8' }).filter((name) => /\.tsx?$/.test(name));
  const built = await build({
    root: ROOT,
    configFile: false,
    mode: 'test',
    logLevel: 'error',
    define,
    publicDir: false,
    plugins: [withoutStyles],
    build: {
      ssr: true,
      write: false,
      minify: false,
      sourcemap: 'inline',
      target: 'node20',
      outDir: home,
      rolldownOptions: {
        input: Object.fromEntries(names.map((name) => [name.replace(/\.tsx?$/, ''), join(SRC, name)])),
        preserveEntrySignatures: 'strict',
        output: {
          entryFileNames: '[name].mjs',
          chunkFileNames: '[name].mjs',
          codeSplitting: {
            groups: [
              { name: 'pure', test: (id) => PURE.test(id) && !ON_ITS_OWN.test(id) },
              { name: 'page', test: (id) => id.startsWith(SRC) && !ON_ITS_OWN.test(id) },
            ],
          },
        },
      },
    },
  });
  mkdirSync(HOME, { recursive: true });
  for (const name of readdirSync(HOME)) {
    if (name === String(process.pid) || !isAlive(Number(name))) rmSync(join(HOME, name), { recursive: true });
  }
  process.on('exit', () => rmSync(home, { recursive: true, force: true }));
  for (const { output } of [built].flat().filter((one) => 'output' in one)) {
    for (const file of output) {
      const path = join(home, file.fileName);
      mkdirSync(dirname(path), { recursive: true });
      writeFileSync(path, file.type === 'chunk' ? file.code : file.source);
    }
  }
  return home;
}

let joined: Promise<string> | undefined;

/**
 * Gives the tests the modules of src joined into two, made anew for each run. Hundreds of small ones, each transformed, sent to each worker
 * and evaluated on its own, took a fifth of all the time; and this is nearer to the built page. A fault still names the file and line in src.
 */
export function joinedSource(define: Record<string, string>): Plugin {
  return {
    name: 'joined-source',
    enforce: 'pre',
    async resolveId(id, importer) {
      if (!id.startsWith('.') || importer === undefined) return null;
      const target = resolve(dirname(importer), id);
      if (!target.startsWith(SRC + sep) || !/\.tsx?$/.test(target)) return null;
      joined ??= joinSource(define);
      return join(await joined, relative(SRC, target).replace(/\.tsx?$/, '.mjs'));
    },
  };
}
