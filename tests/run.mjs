// `npm test`: every check of the project, in the order in which they fail fastest, closed by one line that adds them all up:
// 'N passed, N failed' alone on the last line. A type error, a lint problem, a file too large and a test each count as one.
// A part that ends badly without saying what failed counts as one failure, so that no crash can pass for success.
import { spawn } from 'node:child_process';
import { existsSync, mkdirSync, readFileSync, rmSync } from 'node:fs';
import { availableParallelism } from 'node:os';
import { join } from 'node:path';
import { checkBundle } from './bundle-size.mjs';

const ROOT = join(import.meta.dirname, '..');
const DIST = join(ROOT, 'dist');
const SCRATCH = join(ROOT, 'node_modules', '.cache', 'lugline');
const MINUTE = 60_000;

/** Runs a tool of this project; resolves to its exit code and, when `quiet`, all that it printed. */
function run(args, { quiet = false, env = {}, limitMs = 10 * MINUTE } = {}) {
  return new Promise((resolve) => {
    let output = '';
    const child = spawn('npx', ['--no-install', ...args], {
      cwd: ROOT,
      env: { ...process.env, NO_COLOR: '1', ...env },
      stdio: ['ignore', quiet ? 'pipe' : 'inherit', quiet ? 'pipe' : 'inherit'],
      detached: true,
    });
    const timer = setTimeout(() => {
      output += `\nStopped after ${limitMs / MINUTE} minutes.\n`;
      process.kill(-child.pid, 'SIGKILL');
    }, limitMs);
    const collect = (chunk) => {
      output += chunk;
    };
    child.stdout?.on('data', collect);
    child.stderr?.on('data', collect);
    child.on('error', (error) => {
      clearTimeout(timer);
      resolve({ code: 1, output: `${output}${error.message}\n` });
    });
    child.on('close', (code) => {
      clearTimeout(timer);
      resolve({ code: code ?? 1, output });
    });
  });
}

/** One check that is either clean (one passed) or has so many problems (each one failed). */
function verdict(code, problems, output) {
  const failed = code === 0 ? problems : Math.max(1, problems);
  if (failed > 0) process.stdout.write(`${output}\n`);
  return failed > 0 ? { passed: 0, failed } : { passed: 1, failed: 0 };
}

async function types() {
  const { code, output } = await run(['tsc', '--noEmit', '-p', '.', '--pretty', 'false'], { quiet: true });
  return verdict(code, output.match(/error TS\d+/g)?.length ?? 0, output);
}

async function lint() {
  const { code, output } = await run(['biome', 'check', '--error-on-warnings', '--max-diagnostics=200', '.'], {
    quiet: true,
  });
  const problems = [...output.matchAll(/^Found (\d+) (?:error|warning)/gm)].reduce((sum, m) => sum + Number(m[1]), 0);
  return verdict(code, problems, output);
}

async function build() {
  // No older build may stand in for one that failed.
  rmSync(DIST, { recursive: true, force: true });
  const { code, output } = await run(['vite', 'build', '--logLevel', 'warn'], { quiet: true });
  if (code !== 0) return verdict(code, 0, output);
  const size = checkBundle();
  process.stdout.write(`${size.message}\n`);
  return size.ok ? { passed: 1, failed: 0 } : { passed: 0, failed: 1 };
}

/** Counts of a Vitest run: tests, files that broke before a test ran, and whatever else made it end badly. */
function readCounts(file, code) {
  let report;
  try {
    report = JSON.parse(readFileSync(file, 'utf8'));
  } catch {
    return { passed: 0, failed: 1, note: 'ended without a report' };
  }
  const brokenFiles = report.testResults.filter((f) => f.status === 'failed' && f.assertionResults.length === 0).length;
  const notRun = report.numPendingTests + report.numTodoTests;
  const passed = report.numPassedTests;
  let failed = report.numFailedTests + brokenFiles + notRun;
  if (passed + failed === 0) return { passed: 0, failed: 1, note: 'found no test' };
  if (code !== 0 && failed === 0) failed = 1;
  return { passed, failed, note: notRun > 0 ? `${notRun} not run, counted as failed` : '' };
}

async function vitest(name, projects, env) {
  const file = join(SCRATCH, `${name}.json`);
  rmSync(file, { force: true });
  const select = projects.flatMap((p) => ['--project', p]);
  const reporters = ['--reporter=default', '--reporter=json', `--outputFile.json=${file}`];
  const { code } = await run(['vitest', 'run', ...select, ...reporters], { env });
  return readCounts(file, code);
}

async function browser() {
  if (!existsSync(join(DIST, 'index.html'))) return { passed: 0, failed: 1, note: 'not run: there is no build' };
  return vitest('browser', ['browser'], { LUGLINE_DIST: DIST });
}

mkdirSync(SCRATCH, { recursive: true });
const results = [];
async function part(name, work) {
  const started = performance.now();
  const counts = await work().catch((error) => {
    process.stdout.write(`${error.stack ?? error}\n`);
    return { passed: 0, failed: 1, note: 'crashed' };
  });
  results.push({ name, seconds: (performance.now() - started) / 1000, ...counts });
}

const fromHere = process.argv.slice(2);
const wanted = (name) => fromHere.length === 0 || fromHere.includes(name);
await Promise.all([
  wanted('types') && part('types', types),
  wanted('lint') && part('lint', lint),
  (wanted('build') || wanted('browser')) && part('build', build),
]);
if (wanted('unit')) await part('unit', () => vitest('unit', ['unit', 'component'], {}));
if (wanted('browser')) await part('browser', browser);

let passed = 0;
let failed = 0;
process.stdout.write(`\n${availableParallelism()} cores, node ${process.version}\n`);
for (const r of results) {
  passed += r.passed;
  failed += r.failed;
  const row = `${r.name.padEnd(10)}${String(r.passed).padStart(6)} passed${String(r.failed).padStart(5)} failed`;
  process.stdout.write(`${row}${r.seconds.toFixed(1).padStart(8)} s  ${r.note ?? ''}`.trimEnd().concat('\n'));
}
if (results.length === 0) failed = 1;
process.stdout.write(`${passed} passed, ${failed} failed\n`);
process.exitCode = failed > 0 ? 1 : 0;
