import { existsSync, mkdtempSync, readFileSync, renameSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';

const SYSTEM_BROWSERS = ['/usr/bin/chromium', '/usr/bin/chromium-browser', '/usr/bin/google-chrome'];

const PACKAGE = join(import.meta.dirname, '../../node_modules/@sparticuz/chromium/package.json');

/** Chromium on a closed machine: no sandbox as root, and nothing of its own that looks for a network. */
export const CHROMIUM_ARGS = [
  '--no-sandbox',
  '--disable-gpu',
  '--disable-quic',
  '--no-first-run',
  '--disable-background-networking',
  '--disable-component-update',
  '--disable-sync',
];

/**
 * For pages that live for seconds: V8's last stage of compiling, in threads of its own, costs them more than it gives back. What the code
 * does is the same; how fast it is, is not: nothing that measures may use it.
 */
export const SHORT_LIVED = '--js-flags=--no-turbofan';

/**
 * Path of a Chromium to drive: the system's own where there is one, else the one that an npm package ships, unpacked once into the
 * machine's temporary folder. It is unpacked beside its final place and moved there whole, so that an interrupted run cannot leave half a
 * browser behind for the next, and of two that unpack at once the second takes what is there.
 */
export async function findChromium(): Promise<string> {
  const system = SYSTEM_BROWSERS.find((path) => existsSync(path));
  if (system !== undefined) return system;
  const { version } = JSON.parse(readFileSync(PACKAGE, 'utf8')) as { version: string };
  const home = join(tmpdir(), `lugline-chromium-${version}`);
  const path = join(home, 'chromium');
  if (existsSync(path)) return path;
  const before = process.env.TMPDIR;
  const scratch = mkdtempSync(join(tmpdir(), 'lugline-unpack-'));
  try {
    process.env.TMPDIR = scratch;
    const { default: packaged } = await import('@sparticuz/chromium');
    await packaged.executablePath();
  } finally {
    if (before === undefined) delete process.env.TMPDIR;
    else process.env.TMPDIR = before;
  }
  try {
    renameSync(scratch, home);
  } catch (error) {
    // Another process that unpacked at the same time was there first: its browser is the same.
    if (!existsSync(path)) throw error;
    rmSync(scratch, { recursive: true, force: true });
  }
  return path;
}
