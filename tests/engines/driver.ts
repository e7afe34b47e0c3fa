import { spawn } from 'node:child_process';
import { existsSync, mkdtempSync, readdirSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { setTimeout as pause } from 'node:timers/promises';
import WebSocket from 'ws';
import { program } from './found.mjs';

/** One open page of a browser that is not Chromium, as far as the walk over the views needs it. */
export interface Engine {
  readonly open: (url: string) => Promise<void>;
  readonly reload: () => Promise<void>;
  /** The value of an expression in the page, as JSON carries it; a promise is waited for. */
  readonly evaluate: <T>(expression: string) => Promise<T>;
  /** Real keys, one after the other. Names of WebDriver's key table stand for themselves: '\uE003' is Backspace. */
  readonly type: (keys: string) => Promise<void>;
  /** A real click at a place of the window, in CSS pixels. */
  readonly click: (x: number, y: number) => Promise<void>;
  /** The page on paper, or null where the engine's driver cannot print. */
  readonly print: () => Promise<Buffer | null>;
  /** A picture of the window. */
  readonly picture: () => Promise<Buffer>;
  /** Errors that the page left in the console or did not catch; null where the driver does not tell. */
  readonly complaints: () => readonly string[] | null;
  readonly close: () => Promise<void>;
}

/** Bound to come; what never comes fails then. */
const PATIENCE_MS = 60_000;

/** Asks until there is an answer. */
async function until<T>(what: string, ask: () => Promise<T | undefined> | T | undefined): Promise<T> {
  for (const end = Date.now() + PATIENCE_MS; Date.now() < end; await pause(50)) {
    const answer = await ask();
    if (answer !== undefined) return answer;
  }
  throw new Error(`${what} did not come in ${PATIENCE_MS / 1000} s.`);
}

/** A process that is ended with the test, and its whole output. */
function start(file: string, args: readonly string[], env: NodeJS.ProcessEnv = {}) {
  const child = spawn(file, args, { env: { ...process.env, ...env }, stdio: ['ignore', 'pipe', 'pipe'] });
  const gone = new Promise<void>((resolve) => child.once('close', () => resolve()));
  const told = { output: '' };
  for (const stream of [child.stdout, child.stderr]) {
    stream.on('data', (part) => {
      told.output += part;
    });
  }
  const end = async (isAskedToGo = false) => {
    if (isAskedToGo) await Promise.race([gone, pause(10_000)]);
    child.kill('SIGTERM');
    await Promise.race([gone, pause(3000)]);
    child.kill('SIGKILL');
  };
  return { told, end };
}

const keyActions = (keys: string) => ({
  type: 'key',
  id: 'keyboard',
  actions: [...keys].flatMap((value) => [
    { type: 'keyDown', value },
    { type: 'keyUp', value },
  ]),
});

const clickActions = (x: number, y: number) => ({
  type: 'pointer',
  id: 'mouse',
  actions: [
    { type: 'pointerMove', x: Math.round(x), y: Math.round(y) },
    { type: 'pointerDown', button: 0 },
    { type: 'pointerUp', button: 0 },
  ],
});

/** How a browser is started. */
export interface Visit {
  /** In a private window. WebKit's driver knows no other. */
  isPrivate?: boolean;
  /** A folder that outlives the visit; left out: one of its own, taken away afterwards. */
  profile?: string;
  /** Runs in every page before its own scripts. WebKit's driver cannot. */
  before?: string;
}

/** Firefox by WebDriver BiDi (W3C Working Draft), spoken over its own socket: no driver in between. */
async function startFirefox(visit: Visit = {}): Promise<Engine> {
  const profile = visit.profile ?? mkdtempSync(join(tmpdir(), 'lugline-firefox-'));
  const preferences = {
    // The browser calls nobody while it is tested.
    'app.normandy.enabled': false,
    'app.update.enabled': false,
    'datareporting.healthreport.uploadEnabled': false,
    'browser.shell.checkDefaultBrowser': false,
    'browser.privatebrowsing.autostart': visit.isPrivate ?? false,
  };
  const lines = Object.entries(preferences).map(([name, value]) => `user_pref("${name}", ${value});\n`);
  writeFileSync(join(profile, 'user.js'), lines.join(''));
  const args = ['--headless', '--no-remote', '--profile', profile, '--remote-debugging-port', '0', 'about:blank'];
  const firefox = start(program('firefox-esr'), args, { MOZ_HEADLESS_WIDTH: '1440', MOZ_HEADLESS_HEIGHT: '1000' });
  const address = await until('The address of Firefox', () => /ws:\/\/[\w.]+:\d+/.exec(firefox.told.output)?.[0]);
  const socket = new WebSocket(`${address}/session`);
  await new Promise((resolve, reject) => socket.once('open', resolve).once('error', reject));
  const waiting = new Map<number, { resolve: (result: unknown) => void; reject: (error: Error) => void }>();
  const complaints: string[] = [];
  socket.on('message', (data) => {
    const message = JSON.parse(data.toString());
    if (message.method === 'log.entryAdded' && message.params.level === 'error') complaints.push(message.params.text);
    const asked = waiting.get(message.id);
    if (asked === undefined) return;
    if (message.type === 'error') asked.reject(new Error(`${message.error}: ${message.message}`));
    else asked.resolve(message.result);
  });
  let last = 0;
  const ask = <T>(method: string, params: unknown) =>
    new Promise<T>((resolve, reject) => {
      last += 1;
      waiting.set(last, { resolve: (result) => resolve(result as T), reject });
      socket.send(JSON.stringify({ id: last, method, params }));
    });
  await ask('session.new', { capabilities: {} });
  await ask('session.subscribe', { events: ['log.entryAdded'] });
  const tree = await ask<{ contexts: { context: string }[] }>('browsingContext.getTree', {});
  const context = tree.contexts[0]?.context;
  if (visit.before !== undefined)
    await ask('script.addPreloadScript', { functionDeclaration: `() => { ${visit.before} }` });
  const perform = (...actions: unknown[]) => ask<void>('input.performActions', { context, actions });
  return {
    open: (url) => ask('browsingContext.navigate', { context, url, wait: 'complete' }),
    reload: () => ask('browsingContext.reload', { context, wait: 'complete' }),
    evaluate: async <T>(expression: string) => {
      const answer = await ask<{ type: string; result: { value?: string }; exceptionDetails?: { text: string } }>(
        'script.evaluate',
        {
          expression: `(async () => JSON.stringify({ value: await (${expression}) }))()`,
          target: { context },
          awaitPromise: true,
        },
      );
      if (answer.type === 'exception') throw new Error(answer.exceptionDetails?.text ?? 'unknown exception');
      return (JSON.parse(answer.result.value ?? '{}') as { value: T }).value;
    },
    type: (keys) => perform(keyActions(keys)),
    click: (x, y) => perform(clickActions(x, y)),
    print: async () => {
      const { data } = await ask<{ data: string }>('browsingContext.print', { context, background: true });
      return Buffer.from(data, 'base64');
    },
    picture: async () => {
      const { data } = await ask<{ data: string }>('browsingContext.captureScreenshot', { context });
      return Buffer.from(data, 'base64');
    },
    complaints: () => complaints,
    close: async () => {
      // A browser that is asked to go writes down what its pages left; one that is killed does not.
      await Promise.race([ask('browser.close', {}).catch(() => undefined), pause(5000)]);
      socket.close();
      await firefox.end(true);
      if (visit.profile === undefined) rmSync(profile, { recursive: true, force: true, maxRetries: 5 });
    },
  };
}

/** A display that no screen shows. */
async function startDisplay() {
  const taken = new Set(readdirSync(tmpdir()).filter((name) => /^\.X\d+-lock$/.test(name)));
  const number = [...Array(400).keys()].map((i) => i + 90).find((n) => !taken.has(`.X${n}-lock`)) ?? 90;
  const display = start(program('xvfb'), [`:${number}`, '-screen', '0', '1600x1100x24', '-nolisten', 'tcp']);
  await until('The display', () => existsSync(join(tmpdir(), `.X${number}-lock`)) || undefined);
  return { name: `:${number}`, end: display.end };
}

/**
 * WebKitGTK's own small browser by WebDriver (W3C Recommendation), in a display of its own. A driven one keeps nothing on disk: each visit is
 * a private window.
 */
async function startWebKit(): Promise<Engine> {
  const display = await startDisplay();
  const home = mkdtempSync(join(tmpdir(), 'lugline-webkit-'));
  const port = 20_000 + (process.pid % 20_000);
  const env = { DISPLAY: display.name, HOME: home, XDG_DATA_HOME: home, XDG_CACHE_HOME: home, NO_AT_BRIDGE: '1' };
  // No sandbox: test machines often run as root.
  const driver = start(program('webkit2gtk-driver'), [`--port=${port}`], {
    ...env,
    WEBKIT_DISABLE_SANDBOX_THIS_IS_DANGEROUS: '1',
    LIBGL_ALWAYS_SOFTWARE: '1',
  });
  const ask = async <T>(method: string, path: string, body?: unknown): Promise<T> => {
    const init = { method, ...(body === undefined ? {} : { body: JSON.stringify(body) }) };
    const answer = (await (await fetch(`http://127.0.0.1:${port}${path}`, init)).json()) as { value: unknown };
    const { error, message } = (answer.value ?? {}) as { error?: string; message?: string };
    // What the browser said last says why it went.
    const said = error === 'invalid session id' ? driver.told.output.slice(-2000) : '';
    if (error !== undefined) throw new Error(`${error}: ${message}${said}`);
    return answer.value as T;
  };
  await until('The driver of WebKit', () => ask('GET', '/status').catch(() => undefined));
  const options = { binary: program('MiniBrowser'), args: ['--automation'] };
  const { sessionId } = await ask<{ sessionId: string }>('POST', '/session', {
    capabilities: { alwaysMatch: { 'webkitgtk:browserOptions': options } },
  });
  const at = `/session/${sessionId}`;
  await ask('POST', `${at}/timeouts`, { script: PATIENCE_MS, pageLoad: PATIENCE_MS });
  await ask('POST', `${at}/window/rect`, { x: 0, y: 0, width: 1440, height: 1000 });
  const perform = (...actions: unknown[]) => ask<void>('POST', `${at}/actions`, { actions });
  return {
    open: (url) => ask('POST', `${at}/url`, { url }),
    reload: () => ask('POST', `${at}/refresh`, {}),
    evaluate: async <T>(expression: string) => {
      const script = `const done = arguments[arguments.length - 1];
        (async () => ({ value: await (${expression}) }))().then((v) => done(JSON.stringify(v)), (e) => done(JSON.stringify({ error: String(e) })));`;
      const text = await ask<string>('POST', `${at}/execute/async`, { script, args: [] });
      const { value, error } = JSON.parse(text) as { value: T; error?: string };
      if (error !== undefined) throw new Error(error);
      return value;
    },
    type: (keys) => perform(keyActions(keys)),
    click: (x, y) => perform(clickActions(x, y)),
    print: async () => null,
    picture: async () => Buffer.from(await ask<string>('GET', `${at}/screenshot`), 'base64'),
    complaints: () => null,
    close: async () => {
      await ask('DELETE', at).catch(() => undefined);
      await driver.end();
      await display.end();
      rmSync(home, { recursive: true, force: true, maxRetries: 5 });
    },
  };
}

/** Starts an engine of `engines` that misses nothing. */
export const START = { Firefox: startFirefox, WebKitGTK: startWebKit };
