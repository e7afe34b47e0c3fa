import { rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterEach, beforeEach } from 'vitest';

/*
 * Puts down which test each worker is in, for tests/run.mjs to name when it has to stop one. Written at once and from within: a test that
 * holds its core for ever lets no message out.
 */
const folder = process.env.LUGLINE_RUNNING;
if (folder !== undefined) {
  const note = join(folder, `worker-${process.env.VITEST_POOL_ID}`);
  beforeEach(({ task }) => writeFileSync(note, task.fullName));
  afterEach(() => rmSync(note, { force: true }));
}
