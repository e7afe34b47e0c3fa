// Where the engines beside Chromium stand: Debian's packages firefox-esr, webkit2gtk-driver and xvfb.
import { existsSync } from 'node:fs';
import { join } from 'node:path';

const LIBRARIES = ['/usr/lib/x86_64-linux-gnu', '/usr/lib/aarch64-linux-gnu', '/usr/lib'];
const VERSIONS = ['webkit2gtk-4.1', 'webkit2gtk-4.0', 'webkitgtk-6.0'];

const find = (paths) => paths.find((path) => existsSync(path)) ?? null;

/** Programs by the name under which they are missed. */
const PROGRAMS = {
  'firefox-esr': find(['/usr/bin/firefox-esr', '/usr/bin/firefox']),
  'webkit2gtk-driver': find(['/usr/bin/WebKitWebDriver']),
  MiniBrowser: find(LIBRARIES.flatMap((folder) => VERSIONS.map((version) => join(folder, version, 'MiniBrowser')))),
  xvfb: find(['/usr/bin/Xvfb']),
};

const NEEDS = { Firefox: ['firefox-esr'], WebKitGTK: ['webkit2gtk-driver', 'MiniBrowser', 'xvfb'] };

export const engines = Object.keys(NEEDS).map((name) => ({
  name,
  missing: NEEDS[name].filter((program) => PROGRAMS[program] === null).join(', '),
}));

/** Path of a program that is known to be there. */
export function program(name) {
  const path = PROGRAMS[name];
  if (path === null) throw new Error(`${name} is not on this machine.`);
  return path;
}
