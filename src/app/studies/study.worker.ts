import { LogReader } from './computeLog.ts';
import { computeAltitudes, computeSpread, computeTable, preparedSpread, rememberMaps } from './computeStudies.ts';
import type { StudyAnswer, StudyRequest } from './keepStudies.ts';
import { sampleHelpers } from './sampleHelpers.ts';

/*
 * Heavy studies away from the page's thread. One request is answered after the other; a study is cancelled by ending the worker, so that
 * nothing of it can come in late; its own helpers end with it.
 */

const sharing = rememberMaps();

const logs = new LogReader();

/** Workers of this very script, on the other cores; there from the first spread on. */
const helpers = sampleHelpers(
  () => new Worker(self.location.href, { type: 'module' }),
  typeof Worker === 'undefined' ? 0 : navigator.hardwareConcurrency - 1,
);

/** The spread that samples are solved of. */
let shared: ReturnType<typeof preparedSpread> | null = null;

addEventListener('message', async ({ data }: MessageEvent<StudyRequest>) => {
  const answer = (content: StudyAnswer) => postMessage(content);
  try {
    answer(await answerTo(data, answer));
  } catch (error) {
    const message = error instanceof Error ? error.message : String(error);
    answer({ id: data.id, kind: 'failed', message });
  }
});

async function answerTo(request: StudyRequest, report: (content: StudyAnswer) => void): Promise<StudyAnswer> {
  const { id } = request;
  if (request.kind === 'samples') {
    const { build: asked, candidateIndex, from, to } = request;
    if (asked !== null) shared = preparedSpread(sharing(asked), candidateIndex);
    if (shared === null) throw new Error('No spread is known to solve samples of.');
    shared.run.solve(from, to);
    return { id, kind: 'samples', result: shared.run.solved(from, to) };
  }
  const build = sharing(request.build);
  if (request.kind === 'altitude') return { id, kind: 'altitude', result: computeAltitudes(build) };
  const onProgress = (share: number) => report({ id, kind: 'progress', share });
  if (request.kind === 'log') return { id, kind: 'log', result: await logs.study({ ...request, build }, onProgress) };
  const { candidateIndex } = request;
  if (request.kind === 'table') return { id, kind: 'table', result: computeTable(build, candidateIndex, onProgress) };
  const spread = await computeSpread(build, candidateIndex, onProgress, helpers(build, candidateIndex));
  return { id, kind: 'spread', result: spread };
}
