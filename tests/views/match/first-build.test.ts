import { describe, expect, it } from 'vitest';
import { demoBuild } from '../../../src/build/demo.ts';
import { type Build, defaultBuild } from '../../../src/build/index.ts';
import { verdictOf } from '../../../src/views/match/model/verdict.ts';
import { problemWords } from '../../../src/views/shared/findingSentences.ts';
import { operatingLine } from '../../../src/views/shared/mapDrawing.ts';
import { sheetInput } from '../sheet/sheetInput.ts';

const marksOf = (from: string, to: string) => {
  const demo = demoBuild();
  const engineSpeeds = {
    ...demo.engineSpeeds,
    from: { text: from, unit: 'rpm' },
    to: { text: to, unit: 'rpm' },
  };
  const { points, findings } = sheetInput({ ...demo, engineSpeeds }, 1).candidates[0]!.results;
  const line = operatingLine('a', 'A', 'a', points, findings);
  return line.points.flatMap((point) => (point?.marked ? [point.engineSpeedRpm] : []));
};

describe('the marks of engine speeds on a line', () => {
  it('are the round ones where they are computed', () => {
    expect(marksOf('2000', '6500')).toEqual([2000, 3000, 4000, 5000, 6000, 6500]);
  });

  it('are those beside the round ones where the steps miss them', () => {
    expect(marksOf('2100', '6800')).toEqual([2100, 3100, 4100, 5100, 6100, 6800]);
    expect(marksOf('1900', '3400')).toEqual([1900, 2150, 2400, 2650, 2900, 3150, 3400]);
  });
});

describe('a build that is begun', () => {
  const verdictsOf = (build: Build) =>
    verdictOf(sheetInput(build).candidates.map(({ index, results }) => ({ index, results })));

  it('has candidates without a map, which is not wrong', () => {
    const build = defaultBuild('b');
    expect(verdictsOf(build).map(({ severity, sentence }) => [severity, sentence])).toEqual([
      ['note', 'Candidate A has no map yet.'],
      ['note', 'Candidate B has no map yet.'],
    ]);
    const { problems } = sheetInput(build).candidates[0]!.results;
    expect(problemWords(problems, false).map(({ severity, word }) => [severity, word])).toEqual([['note', 'Missing']]);
  });

  it('cannot be computed where a number of it cannot be read, which is', () => {
    const demo = demoBuild();
    const build = { ...demo, engine: { ...demo.engine, displacement: { text: 'two', unit: 'L' } } };
    expect(verdictsOf(build).map(({ severity }) => severity)).toEqual(['stop', 'stop']);
  });
});
