import { computeAltitudes, computeSpread, rememberMaps } from './computeStudies.ts';
import type { StudyAnswer, StudyRequest } from './keepStudies.ts';

/*
 * Heavy studies away from the page's thread. One request is answered after the other; a study is cancelled by ending the worker, so that
 * nothing of it can come in late.
 */

const sharing = rememberMaps();

addEventListener('message', ({ data }: MessageEvent<StudyRequest>) => {
  const answer = (content: StudyAnswer) => postMessage(content);
  try {
    answer(answerTo(data, answer));
  } catch (error) {
    const message = error instanceof Error ? error.message : String(error);
    answer({ id: data.id, kind: 'failed', message });
  }
});

function answerTo(request: StudyRequest, report: (content: StudyAnswer) => void): StudyAnswer {
  const { id } = request;
  const build = sharing(request.build);
  if (request.kind === 'altitude') return { id, kind: 'altitude', result: computeAltitudes(build) };
  const onProgress = (share: number) => report({ id, kind: 'progress', share });
  return { id, kind: 'spread', result: computeSpread(build, request.candidateIndex, onProgress) };
}
