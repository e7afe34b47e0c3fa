import type { FollowedStroke, PixelPlace, SnappedPlace } from '../pixels/types.ts';
import type { PixelAnswer, PixelQuestion } from './pixelMessages.ts';

type Ask = PixelQuestion extends infer Q ? (Q extends PixelQuestion ? Omit<Q, 'id'> : never) : never;

/** Looks for strokes in the open picture, away from the page's own thread. */
export interface PixelReader {
  /** The centre of the stroke near a place; null: none near, or the pixels cannot be read. */
  snap(place: PixelPlace, radiusPx: number): Promise<SnappedPlace | null>;
  follow(place: PixelPlace, options: FollowAsk): Promise<FollowedStroke>;
  close(): void;
}

export interface FollowAsk {
  radiusPx: number;
  thinPx: number;
  mostPoints: number;
}

/** Starts the worker with the picture's bytes. */
export function openPixels(bytes: Blob): PixelReader {
  const worker = new Worker(new URL('./pixelWorker.ts', import.meta.url), { type: 'module' });
  const waiting = new Map<number, (answer: PixelAnswer) => void>();
  let lastId = 0;
  worker.onmessage = ({ data }: MessageEvent<PixelAnswer>) => {
    waiting.get(data.id)?.(data);
    waiting.delete(data.id);
  };
  worker.onerror = () => {
    for (const [id, done] of waiting) done({ id, ok: false, message: 'The pixels of the picture cannot be read.' });
    waiting.clear();
  };
  const ask = (question: Ask): Promise<PixelAnswer> =>
    new Promise((resolve) => {
      lastId += 1;
      waiting.set(lastId, resolve);
      worker.postMessage({ ...question, id: lastId });
    });
  // Answers come in the order of the questions: what is asked meanwhile waits for the pixels.
  const ready = ask({ ask: 'load', bytes });
  return {
    async snap(place, radiusPx) {
      const loaded = await ready;
      if (!loaded.ok) return null;
      const answer = await ask({ ask: 'snap', place, radiusPx });
      return answer.ok ? (answer.snapped ?? null) : null;
    },
    async follow(place, options) {
      const loaded = await ready;
      const answer = loaded.ok ? await ask({ ask: 'follow', place, ...options }) : loaded;
      if (answer.ok && answer.followed !== undefined) return answer.followed;
      const message = answer.ok ? 'Nothing was found.' : answer.message;
      return { ok: false, reason: 'no-stroke', message };
    },
    close: () => worker.terminate(),
  };
}
