import type { Build } from '../../build/index.ts';
import type { AltitudeStudy, SpreadStudy } from '../../store/index.ts';

/** What the page asks of the worker. The build goes as it stands: plain data, maps included. */
export type StudyRequest =
  | { id: number; kind: 'altitude'; build: Build }
  | { id: number; kind: 'spread'; build: Build; candidateIndex: number };

/** What the worker answers; results come without the build, which the page has. */
export type StudyAnswer =
  | { id: number; kind: 'altitude'; result: Omit<AltitudeStudy, 'build'> }
  | { id: number; kind: 'spread'; result: Omit<SpreadStudy, 'build'> }
  | { id: number; kind: 'progress'; share: number }
  | { id: number; kind: 'failed'; message: string };
