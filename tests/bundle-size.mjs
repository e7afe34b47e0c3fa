// The size budget of the built page: all JavaScript that it can load, gzipped. Finding no file is a failure, not a pass.
import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { gzipSync } from 'node:zlib';

const BUDGET_KB = 250;
const DIST = join(import.meta.dirname, '..', 'dist');

/** Gzipped size (at gzip's usual level) of every script in the built folder, in kB (1000 bytes). */
export function bundleSizes(dist = DIST) {
  return readdirSync(dist, { recursive: true })
    .map(String)
    .filter((name) => name.endsWith('.js'))
    .map((name) => ({ name, kB: gzipSync(readFileSync(join(dist, name))).length / 1000 }));
}

/** Whether the build keeps its budget, and one line that says so. */
export function checkBundle(dist = DIST) {
  let files = [];
  try {
    files = bundleSizes(dist);
  } catch (error) {
    return { ok: false, message: `Size check: cannot read ${dist}: ${error.message}. Run the build first.` };
  }
  if (files.length === 0) return { ok: false, message: `Size check: no script found under ${dist}.` };
  const total = files.reduce((sum, f) => sum + f.kB, 0);
  const list = files.map((f) => `${f.name} ${f.kB.toFixed(1)}`).join(', ');
  const ok = total < BUDGET_KB;
  const message = `Size check: ${total.toFixed(1)} kB of JavaScript gzipped, budget ${BUDGET_KB} kB${ok ? '' : ': OVER'} (${list})`;
  return { ok, message };
}

if (process.argv[1] !== undefined && import.meta.url === pathToFileURL(process.argv[1]).href) {
  const result = checkBundle();
  console.log(result.message);
  process.exitCode = result.ok ? 0 : 1;
}
