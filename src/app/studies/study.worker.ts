import { LogReader } from './computeLog.ts';
import { computeAltitudes, computeSpread, computeTable, rememberMaps } from './computeStudies.ts';
import type { StudyAnswer, StudyRequest } from './keepStudies.ts';

/*
 * Heavy studies away from the page's thread. One request is answered after the other; a study is cancelled by ending the worker, so that
 * nothing of it can come in late.
 */

const sharing = rememberMaps();

const logs = new LogReader();

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
  const build = sharing(request.build);
  if (request.kind === 'altitude') return { id, kind: 'altitude', result: computeAltitudes(build) };
  const onProgress = (share: number) => report({ id, kind: 'progress', share });
  if (request.kind === 'log') return { id, kind: 'log', result: await logs.study({ ...request, build }, onProgress) };
  if (request.kind === 'table')
    return { id, kind: 'table', result: computeTable(build, request.candidateIndex, onProgress) };
  return { id, kind: 'spread', result: computeSpread(build, request.candidateIndex, onProgress) };
}
