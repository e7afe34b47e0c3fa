import { parseBackupFile } from '../../src/build/index.ts';
import type { BackupHandle, BackupStore } from '../../src/storage/saveFile.ts';

/** A file that the browser lets the page keep. */
export function keptFile(permission: 'granted' | 'denied' | 'prompt' = 'granted') {
  const file = { content: '', writes: 0, permission, fails: false };
  const handle: BackupHandle = {
    name: 'shop-backup.json',
    async createWritable() {
      if (file.permission !== 'granted' || file.fails) throw new DOMException('no', 'NotAllowedError');
      let pending = '';
      return {
        async write(text: string) {
          pending += text;
        },
        async close() {
          file.content = pending;
          file.writes += 1;
        },
      };
    },
    queryPermission: async () => file.permission,
    requestPermission: async () => {
      if (file.permission === 'prompt') file.permission = 'granted';
      return file.permission;
    },
  };
  return { file, handle };
}

/** What the browser keeps between visits; a Map in its place, because no database outside a browser stores file handles. */
export function memory(): BackupStore {
  const values = new Map<string, unknown>();
  return {
    get: async (_store: string, key: string) => values.get(key),
    put: async (_store: string, value: unknown, key: string) => {
      values.set(key, value);
      return key;
    },
  } as unknown as BackupStore;
}

/** The altitude of the first build of a backup; undefined where it cannot be read. */
export function altitudeIn(content: string): string | undefined {
  const backup = parseBackupFile(JSON.parse(content));
  return backup.ok ? backup.value.builds[0]?.air.altitude.text : undefined;
}
