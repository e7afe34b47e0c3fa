import type { PendingRestore } from '../store/index.ts';
import { momentWords } from './momentWords.ts';

/** What a waiting backup holds and what taking it in will do, in sentences. */
export function restoreWords(
  pending: PendingRestore,
  now = Date.now(),
): { sentences: readonly string[]; passedOver: readonly string[] } {
  const { fileName, savedAt, counts, passedOver } = pending;
  const time = savedAt === null ? Number.NaN : Date.parse(savedAt);
  const when = Number.isFinite(time) ? `, written ${momentWords(time, now)}` : '';
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

function counted(number: number, word: string): string {
  return `${number} ${word}${number === 1 ? '' : 's'}`;
}
