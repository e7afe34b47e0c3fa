import type { PendingRestore, StorageStatus } from '../store/index.ts';
import { counted } from '../units/index.ts';
import { fileIsOld, momentAt } from './storageSign.ts';

/** Storage in full: terms, each with a plain sentence. */
export function storageFacts(
  status: StorageStatus,
  now = Date.now(),
  moment = momentAt(now),
): readonly { title: string; value: string }[] {
  const inMemory = status.mode === 'memory';
  return [
    {
      title: 'Where it lives',
      value: inMemory
        ? 'In this page only. It is gone when the page closes: save a file.'
        : 'In this browser, on this machine. Nothing is sent anywhere.',
    },
    ...(status.problem === null ? [] : [{ title: 'Trouble', value: status.problem }]),
    ...(status.waitingSince === null ? [] : [{ title: 'Waiting', value: waitingWords(status.waitingSince, moment) }]),
    ...(inMemory ? [] : [{ title: 'Last saved here', value: savedHereWords(status, moment) }]),
    { title: 'Last saved to a file', value: fileWords(status, fileIsOld(status, now), moment) },
    ...(inMemory ? [] : [{ title: 'Will it stay', value: persistenceWords(status.persisted) }]),
  ];
}

function waitingWords(since: number, moment: (time: number) => string): string {
  return `The browser has not answered since ${moment(since)}; another window may hold the storage. What you enter stays in this page until it does.`;
}

function savedHereWords(status: StorageStatus, moment: (time: number) => string): string {
  if (status.saving) return 'Saving now';
  return status.lastSavedAt === null ? 'Nothing was changed yet' : moment(status.lastSavedAt);
}

function fileWords(status: StorageStatus, isOld: boolean, moment: (time: number) => string): string {
  const kept =
    status.keptFileName === null
      ? ''
      : status.keptFileNeedsPermission
        ? ` “${status.keptFileName}” waits for your leave to be written again.`
        : ` “${status.keptFileName}” is written again after every change.`;
  if (status.lastFileSavedAt === null) return `Never, as far as this browser knows.${kept}`;
  const when = moment(status.lastFileSavedAt);
  const said =
    status.keptFileName === null ? `Handed to the browser’s downloads ${when}; look there that it arrived` : when;
  return `${said}.${isOld ? ' That is more than a week ago.' : ''}${kept}`;
}

function persistenceWords(persisted: boolean | null): string {
  if (persisted === true) return 'The browser has promised not to clear it by itself.';
  if (persisted === false) {
    return 'No promise: the browser may clear it when space is short or after days without use, and a private window does when it closes. Keep a file.';
  }
  return 'This browser does not say. Keep a file.';
}

/** What a waiting backup holds and what taking it in will do, in sentences. */
export function restoreWords(
  pending: PendingRestore,
  now = Date.now(),
): { sentences: readonly string[]; passedOver: readonly string[] } {
  const { fileName, savedAt, counts, passedOver } = pending;
  const time = savedAt === null ? Number.NaN : Date.parse(savedAt);
  const when = Number.isFinite(time) ? `, written ${momentAt(now)(time)}` : '';
  const here = counts.buildsHere + counts.mapsHere;
  return {
    sentences: [
      `“${fileName}”${when}.`,
      `It adds ${counted(counts.builds, 'build')} and ${counted(counts.maps, 'map')}.${here === 0 ? '' : ` ${counted(counts.buildsHere, 'build')} and ${counted(counts.mapsHere, 'map')} in it are here already.`}`,
      'Nothing that is here is replaced or lost, and undo takes it back.',
      ...(passedOver.length === 0 ? [] : ['Some of it could not be read and is passed over:']),
    ],
    passedOver,
  };
}
