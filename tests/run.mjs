// `npm test`: every check of the project, closed by one line that adds them all up: 'N passed, N failed' alone on the last line.
// A type error, a lint problem, a file too large and a test each count as one. The parts run side by side, so that all cores are busy to
// the end; what each says stands together, in the order in which they are listed.
// A part that ends badly without saying what failed counts as one failure, so that no crash can pass for success.
import { spawn } from 'node:child_process';
import { existsSync, mkdirSync, readdirSync, readFileSync, rmSync } from 'node:fs';
import { availableParallelism, setPriority } from 'node:os';
import { join } from 'node:path';
import { checkBundle } from './bundle-size.mjs';
import { engines } from './engines/found.mjs';

const ROOT = join(import.meta.dirname, '..');
const DIST = join(ROOT, 'dist');
const SCRATCH = join(ROOT, 'node_modules', '.cache', 'lugline');
/** The tools, by their own scripts: a shell or npx in between would keep their messages to itself. */
const TSC = 'node_modules/typescript/bin/tsc';
const BIOME = 'node_modules/@biomejs/biome/bin/biome';
const VITE = 'node_modules/vite/bin/vite.js';
const VITEST = 'node_modules/vitest/vitest.mjs';
const RUNNING = join(SCRATCH, `running-${process.pid}`);
const MINUTE = 60_000;
/** No tool that prints nothing in between takes so long on any machine. */
const TOOL_LIMIT_MS = 30 * MINUTE;
/** A test that waits is timed out by the runner (vite.config.ts) before; this finds one that holds its core, or a worker that died. */
const HANG_MS = 5 * MINUTE;

/** The parts that have not ended, in the order in which they were begun: the first speaks, the others' words are kept until it has ended. */
const speakers = [];

function speaker() {
  const own = { kept: '', ended: false };
  speakers.push(own);
  const speak = () => {
    while (speakers.length > 0) {
      process.stdout.write(speakers[0].kept);
      speakers[0].kept = '';
      if (!speakers[0].ended) return;
      speakers.shift();
    }
  };
  return {
    say: (text) => {
      own.kept += text;
      speak();
    },
    end: () => {
      own.ended = true;
      speak();
    },
  };
}

/**
 * Runs a file of this project or of a package; resolves to its exit code and all that it printed, which it also hands to `say` as it comes.
 * `nice`: how far it steps back for the others where there are more to run than cores.
 */
function run(file, args, { say = () => {}, nice = 0, env = {}, limitMs = TOOL_LIMIT_MS, onMessage = null } = {}) {
  return new Promise((resolve) => {
    let output = '';
    const child = spawn(process.execPath, [join(ROOT, file), ...args], {
      cwd: ROOT,
      env: { ...process.env, NO_COLOR: '1', ...env },
      stdio: ['ignore', 'pipe', 'pipe', ...(onMessage === null ? [] : ['ipc'])],
      detached: true,
    });
    if (nice > 0 && child.pid !== undefined) setPriority(child.pid, nice);
    // What is limited is the time from one message to the next: a slow machine takes long for all, never for one.
    let stopped = false;
    const stop = () => {
      stopped = true;
      process.kill(-child.pid, 'SIGKILL');
    };
    let timer = setTimeout(stop, limitMs);
    child.on('message', (message) => {
      clearTimeout(timer);
      timer = setTimeout(stop, limitMs);
      onMessage(message);
    });
    const collect = (chunk) => {
      output += chunk;
      say(chunk);
    };
    for (const stream of [child.stdout, child.stderr]) stream.setEncoding('utf8').on('data', collect);
    child.on('error', (error) => {
      clearTimeout(timer);
      resolve({ code: 1, stopped, output: `${output}${error.message}\n` });
    });
    child.on('close', (code) => {
      clearTimeout(timer);
      if (stopped) output += `\nStopped: nothing came of it for ${limitMs / MINUTE} minutes.\n`;
      resolve({ code: code ?? 1, stopped, output });
    });
  });
}

/** One check that is either clean (one passed) or has so many problems (each one failed). */
function verdict(say, code, problems, output) {
  const failed = code === 0 ? problems : Math.max(1, problems);
  if (failed > 0) say(`${output}\n`);
  return failed > 0 ? { passed: 0, failed } : { passed: 1, failed: 0 };
}

async function types(say) {
  const { code, output } = await run(TSC, ['--noEmit', '-p', '.', '--pretty', 'false']);
  return verdict(say, code, output.match(/error TS\d+/g)?.length ?? 0, output);
}

async function lint(say) {
  const { code, output } = await run(BIOME, ['check', '--error-on-warnings', '--max-diagnostics=200', '.']);
  const problems = [...output.matchAll(/^Found (\d+) (?:error|warning)/gm)].reduce((sum, m) => sum + Number(m[1]), 0);
  return verdict(say, code, problems, output);
}

async function build(say) {
  // No older build may stand in for one that failed.
  rmSync(DIST, { recursive: true, force: true });
  const { code, output } = await run(VITE, ['build', '--logLevel', 'warn']);
  if (code !== 0) return verdict(say, code, 0, output);
  const size = checkBundle();
  say(`${size.message}\n`);
  return size.ok ? { passed: 1, failed: 0 } : { passed: 0, failed: 1 };
}

/**
 * Counts of a Vitest run: tests, files that broke before a test ran, and whatever else made it end badly. Of a run that left no report, or
 * had to be stopped, `known` is what it told while it ran; that it ended so is one failure more.
 */
function readCounts(file, { code, stopped }, known) {
  let report;
  try {
    report = JSON.parse(readFileSync(file, 'utf8'));
  } catch {
    return { passed: known.passed, failed: known.failed + 1, note: stopped ? 'stopped' : 'ended without a report' };
  }
  const brokenFiles = report.testResults.filter((f) => f.status === 'failed' && f.assertionResults.length === 0).length;
  const notRun = report.numPendingTests + report.numTodoTests;
  const passed = report.numPassedTests;
  let failed = report.numFailedTests + brokenFiles + notRun;
  if (passed + failed === 0) return { passed: 0, failed: 1, note: 'found no test' };
  if ((code !== 0 && failed === 0) || stopped) failed += 1;
  return { passed, failed, note: notRun > 0 ? `${notRun} not run, counted as failed` : '' };
}

/** What the workers were in when they were stopped, by the notes that they put down (tests/running-setup.ts). */
function runningTests(folder) {
  const names = readdirSync(folder).map((note) => readFileSync(join(folder, note), 'utf8'));
  return names.length > 0 ? names.map((name) => `  ${name}`).join('\n') : '  no test: a file was being loaded';
}

async function vitest(say, name, projects, { env = {}, nice = 0 } = {}) {
  const file = join(SCRATCH, `${name}.json`);
  const running = `${RUNNING}-${name}`;
  rmSync(file, { force: true });
  mkdirSync(running, { recursive: true });
  const known = { passed: 0, failed: 0 };
  const onMessage = ({ ended, passed, broken }) => {
    if (ended === 'test') known[passed ? 'passed' : 'failed'] += 1;
    else if (broken) known.failed += 1;
  };
  const select = projects.flatMap((p) => ['--project', p]);
  const reporters = ['default', './tests/progress-reporter.mjs', 'json'].map((reporter) => `--reporter=${reporter}`);
  const args = ['run', ...select, ...reporters, `--outputFile.json=${file}`];
  const ownEnv = { ...env, LUGLINE_RUNNING: running };
  const end = await run(VITEST, args, { say, nice, env: ownEnv, limitMs: HANG_MS, onMessage });
  if (end.stopped) {
    say(`\nStopped: no test has ended for ${HANG_MS / MINUTE} minutes. Running:\n${runningTests(running)}\n`);
  }
  rmSync(running, { recursive: true, force: true });
  return readCounts(file, end, known);
}

/**
 * The tests without a browser hold the cores all the time; those in a browser wait as often as not for the next frame or message. They go
 * first, and what they leave goes to the others.
 */
const STEP_BACK = 3;
const unit = (say) => vitest(say, 'unit', ['unit', 'component'], { nice: STEP_BACK });
// For the inner loop, by name only: pure code, without the files that take long.
const quick = (say) => vitest(say, 'quick', ['unit'], { env: { LUGLINE_QUICK: '1' } });

async function browser(say) {
  if (!existsSync(join(DIST, 'index.html'))) return { passed: 0, failed: 1, note: 'not run: there is no build' };
  return vitest(say, 'browser', ['browser'], { env: { LUGLINE_DIST: DIST } });
}

/** The walk through other engines, by those that this machine has; the others are said by name and count as nothing. */
async function otherEngines(say) {
  if (!existsSync(join(DIST, 'index.html'))) return { passed: 0, failed: 1, note: 'not run: there is no build' };
  const lacking = engines.filter(({ missing }) => missing !== '');
  const note = lacking.map(({ name, missing }) => `${name} left out: no ${missing}`).join('; ');
  if (lacking.length === engines.length) return { passed: 0, failed: 0, note };
  const counts = await vitest(say, 'engines', ['engines'], { env: { LUGLINE_DIST: DIST } });
  return { ...counts, note: [counts.note, note].filter((part) => part !== '').join('; ') };
}

mkdirSync(SCRATCH, { recursive: true });
const fromHere = process.argv.slice(2);
const wanted = (name) => fromHere.length === 0 || fromHere.includes(name);
const results = [];

/** Begins a part as soon as `after` has ended; resolves when it has ended itself. */
async function part(name, work, after = null) {
  const { say, end } = speaker();
  const row = { name };
  results.push(row);
  await after;
  const started = performance.now();
  const counts = await work(say).catch((error) => {
    say(`${error.stack ?? error}\n`);
    return { passed: 0, failed: 1, note: 'crashed' };
  });
  Object.assign(row, { seconds: (performance.now() - started) / 1000 }, counts);
  end();
}

const typed = wanted('types') && part('types', types);
const linted = wanted('lint') && part('lint', lint);
const built = (wanted('build') || wanted('browser') || wanted('engines')) && part('build', build);
const quickly = fromHere.includes('quick') && part('quick', quick);
const tested = wanted('unit') && part('unit', unit);
const seen = wanted('browser') && part('browser', browser, built);
// Alone on the machine: an engine that is slow to answer is what its driver gives up on.
const elsewhere = wanted('engines') && part('engines', otherEngines, Promise.all([seen || built, tested]));
await Promise.all([typed, linted, built, quickly, tested, seen, elsewhere]);

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
