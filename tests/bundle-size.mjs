// The size budget of the built page: all JavaScript that it loads at the start, gzipped. Finding no file is a failure, not a pass.
import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { basename, join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { gzipSync } from 'node:zlib';

const BUDGET_KB = 215;
/** Parts that are loaded only when they are needed, each with its own budget; the first that fits a script's name counts it. */
const LATER = [
  { part: 'PDF pages', names: /^(?:openPdf|pdf\.worker|openjpeg)/, kB: 560 },
  { part: 'tracing', names: /^(?:TraceView|pixelWorker)/, kB: 65 },
  { part: 'help and what opens without a server', names: /^(?:Help|offline)/, kB: 15 },
  { part: 'demonstrations', names: /^(?:demo|sheets-)/, kB: 11.6 },
  { part: 'what follows the first picture', names: /^(?:map-zoom|curve-drag|d3-drag|keepStudies|keepLogs)/, kB: 19.5 },
  { part: 'what opens files and older records', names: /^(?:gate|fileActions|roadLogs)/, kB: 20.9 },
  { part: 'studies and logs, in a worker', names: /^study\.worker/, kB: 113 },
  { part: 'other views', names: /./, kB: 230 },
];
const DIST = join(import.meta.dirname, '..', 'dist');

/** Scripts that index.html names, and those that they import without being asked: the page needs all of them to open. */
function scriptsAtStart(dist) {
  const named = readFileSync(join(dist, 'index.html'), 'utf8').matchAll(/(?:src|href)="([^"]+\.m?js)"/g);
  return withImports(
    dist,
    [...named].map((m) => m[1]),
  );
}

/** The names of these scripts and of all that they import without being asked. */
function withImports(dist, names) {
  const wanted = [...names];
  const found = new Set();
  while (wanted.length > 0) {
    const name = basename(wanted.pop());
    const path = join(dist, 'assets', name);
    if (found.has(name) || !existsSync(path)) continue;
    found.add(name);
    const code = readFileSync(path, 'utf8');
    wanted.push(...[...code.matchAll(/(?:\bimport|\bfrom)\s*["'](\.[^"']+\.m?js)["']/g)].map((m) => m[1]));
  }
  return found;
}

/**
 * Gzipped size (at gzip's usual level, in kB of 1000 bytes) of every script in the built folder: what the page loads at the start,
 * what it loads only when it is needed, and what of that the first picture of a fresh profile waits for.
 */
export function bundleSizes(dist = DIST) {
  const first = scriptsAtStart(dist);
  const all = readdirSync(dist, { recursive: true })
    .map(String)
    .filter((name) => /\.m?js$/.test(name))
    .map((name) => ({ name: basename(name), kB: gzipSync(readFileSync(join(dist, name))).length / 1000 }));
  const later = all.filter((f) => !first.has(f.name));
  const ofDemo = withImports(
    dist,
    later.map(({ name }) => name).filter((name) => name.startsWith('demo')),
  );
  return {
    atStart: all.filter((f) => first.has(f.name)),
    later,
    atFirstVisit: later.filter((f) => ofDemo.has(f.name)),
  };
}

/** The later scripts by the part that they belong to. */
function partSizes(later) {
  const left = [...later];
  return LATER.map((part) => {
    const files = left.filter((f) => part.names.test(f.name));
    for (const file of files) left.splice(left.indexOf(file), 1);
    return { ...part, files, total: files.reduce((sum, f) => sum + f.kB, 0) };
  });
}

const listed = (files) => files.map((f) => `${f.name} ${f.kB.toFixed(1)}`).join(', ');

/** Whether the build keeps its budget, and one line that says so. */
export function checkBundle(dist = DIST) {
  let sizes;
  try {
    sizes = bundleSizes(dist);
  } catch (error) {
    return { ok: false, message: `Size check: cannot read ${dist}: ${error.message}. Run the build first.` };
  }
  if (sizes.atStart.length === 0) return { ok: false, message: `Size check: index.html in ${dist} names no script.` };
  const total = sizes.atStart.reduce((sum, f) => sum + f.kB, 0);
  const parts = partSizes(sizes.later);
  // Whatever else it imported would be waited for as the first script is, and counted nowhere.
  const demo = parts.find(({ part }) => part === 'demonstrations');
  const stray = sizes.atFirstVisit.filter((f) => !demo.files.includes(f));
  const ok = total < BUDGET_KB && parts.every((part) => part.total < part.kB) && stray.length === 0;
  const later = parts
    .filter((part) => part.files.length > 0)
    .map((part) => {
      const over = part.total < part.kB ? '' : ': OVER';
      return `; only when needed, ${part.part}: ${part.total.toFixed(1)} of ${part.kB} kB${over} (${listed(part.files)})`;
    })
    .join('');
  const message = `Size check: ${total.toFixed(1)} kB of JavaScript gzipped at the start, budget ${BUDGET_KB} kB${total < BUDGET_KB ? '' : ': OVER'} (${listed(sizes.atStart)})${later}${stray.length === 0 ? '' : `; a fresh profile waits for what is not counted: ${listed(stray)}`}`;
  return { ok, message };
}

if (process.argv[1] !== undefined && import.meta.url === pathToFileURL(process.argv[1]).href) {
  const result = checkBundle();
  console.log(result.message);
  process.exitCode = result.ok ? 0 : 1;
}
