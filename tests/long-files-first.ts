import { relative } from 'node:path';
import { BaseSequencer, type TestSpecification } from 'vitest/node';

/**
 * Files that hold a core longest, in that order: they go first, so that none of them holds the end when the other cores have nothing left.
 * On a machine that has run the tests before, the runner knows; a fresh one knows no more than how long the files' texts are.
 */
const LONGEST = ['tests/views/maps/maps-view.test.tsx', 'tests/views/altitude/altitude-view.test.tsx'];

const rank = (path: string) => {
  const place = LONGEST.indexOf(path);
  return place < 0 ? LONGEST.length : place;
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
