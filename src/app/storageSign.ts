import type { StorageStatus } from '../store/index.ts';

const WEEK_MS = 7 * 24 * 3600 * 1000;

/** Storage in a few words, for the header; `moment` says a time. */
export function storageSign(
  status: StorageStatus,
  now = Date.now(),
  moment = momentAt(now),
): { short: string; tone: 'calm' | 'caution' | 'stop' } {
  const isOld = fileIsOld(status, now);
  const isDoubtful = status.problem !== null || status.waitingSince !== null || status.keptFileNeedsPermission || isOld;
  return {
    short: shortWords(status, isOld, moment),
    tone: status.mode === 'memory' ? 'stop' : isDoubtful ? 'caution' : 'calm',
  };
}

export function fileIsOld({ lastFileSavedAt }: StorageStatus, now: number): boolean {
  return lastFileSavedAt !== null && now - lastFileSavedAt > WEEK_MS;
}

function shortWords(status: StorageStatus, isOld: boolean, moment: (time: number) => string): string {
  if (status.waitingSince !== null) return `Storage waits since ${moment(status.waitingSince)}`;
  if (status.mode === 'memory') return 'Not stored: save a file';
  if (status.problem !== null) return 'Not saved: see why';
  if (status.keptFileNeedsPermission) return 'Backup file waits';
  if (status.lastFileSavedAt === null) return 'Saved here, no file yet';
  if (isOld) return 'Saved here, file is old';
  // Of a download no page learns whether it arrived.
  return `Saved here, ${status.keptFileName === null ? 'download' : 'file'} ${moment(status.lastFileSavedAt)}`;
}

/** Says a time as a person does: the clock today, else the day with it. In the browser's own language settings and time zone. */
export function momentAt(now: number): (time: number) => string {
  return (time) => {
    const then = new Date(time);
    const clock = then.toLocaleTimeString(undefined, { hour: '2-digit', minute: '2-digit' });
    if (then.toDateString() === new Date(now).toDateString()) return clock;
    return `${then.toLocaleDateString(undefined, { day: 'numeric', month: 'short', year: 'numeric' })} ${clock}`;
  };
}
