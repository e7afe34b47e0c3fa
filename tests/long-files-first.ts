import { relative } from 'node:path';
import { BaseSequencer, type TestSpecification } from 'vitest/node';

/**
 * Files that hold a core longest, the longest first: they go first, so that none of them holds the end when the other cores have nothing
 * left, and `npm run check` leaves them out. On a machine that has run the tests before, the runner knows; a fresh one knows no more than
 * how long the files' texts are.
 */
export const LONGEST_FILES = [
  'tests/golden/demo.test.tsx',
  'tests/golden/hard.test.tsx',
  'tests/golden/sentences.test.tsx',
  'tests/views/altitude/altitude-view.test.tsx',
  'tests/views/match/turbine-inputs.test.tsx',
  'tests/views/match/turbine-card.test.tsx',
  'tests/views/sheet/sheet-view.test.tsx',
  'tests/views/match/counter.test.tsx',
  'tests/views/maps/maps-view.test.tsx',
  'tests/match/log/two-hundred-worlds.test.ts',
  'tests/match/log/surge.test.ts',
  'tests/match/log/before-belief.test.ts',
  'tests/match/turbine-random.test.ts',
  'tests/match/turbine-studies.test.ts',
  'tests/match/random-builds.test.ts',
  'tests/match/ceilings.test.ts',
  'tests/match/every-root.test.ts',
  'tests/reading/pixels/traced-sheet.test.ts',
  'tests/match/turbine-monotone.test.ts',
  'tests/reading/pixels/follow-stroke.test.ts',
  'tests/match/history.test.ts',
  'tests/storage/program.test.ts',
  'tests/match/turbine-spread-points.test.ts',
  'tests/match/spread.test.ts',
  'tests/fuzz/browser/page.test.ts',
  'tests/browser/sheet.test.ts',
  'tests/browser/access.test.ts',
  'tests/browser/trace.test.ts',
  'tests/browser/trace-pictures.test.ts',
  'tests/browser/trace-turbine.test.ts',
  'tests/browser/trace-keys.test.ts',
  'tests/browser/compare.test.ts',
  'tests/browser/entering.test.ts',
];

const rank = (path: string) => {
  const place = LONGEST_FILES.indexOf(path);
  return place < 0 ? LONGEST_FILES.length : place;
};

/** The runner's own order, with the longest files of each project at its front. */
export class LongFilesFirst extends BaseSequencer {
  override async sort(files: TestSpecification[]): Promise<TestSpecification[]> {
    const sorted = await super.sort(files);
    const projects = [...new Set(sorted.map(({ project }) => project))];
    const rankOf = ({ moduleId }: TestSpecification) => rank(relative(this.ctx.config.root, moduleId));
    return projects.flatMap((one) =>
      sorted.filter(({ project }) => project === one).toSorted((a, b) => rankOf(a) - rankOf(b)),
    );
  }
}
