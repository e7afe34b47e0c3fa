import { describe, expect, test } from 'vitest';
import {
  computeAltitudes,
  computeSpread,
  preparedSpread,
  rememberMaps,
  type SampleHelper,
  studySpeeds,
} from '../../src/app/studies/computeStudies.ts';
import type { StudyAnswer, StudyRequest, StudyWorker } from '../../src/app/studies/keepStudies.ts';
import { sampleHelpers } from '../../src/app/studies/sampleHelpers.ts';
import { demoBuild } from '../../src/build/demo.ts';
import { type Build, toMatchInput, withBuildField } from '../../src/build/index.ts';
import { solveOperatingLine } from '../../src/match/index.ts';

const typed = (text: string, unit: string) => ({ text, unit });
const withGrid = (from: string, to: string, step: string, build: Build = demoBuild()): Build => ({
  ...build,
  altitudes: { ...build.altitudes, from: typed(from, 'm'), to: typed(to, 'm'), step: typed(step, 'm') },
});

const build = withGrid('620', '2620', '1000');
const study = computeAltitudes(build);
const first = study.candidates[0]!;

describe('the study over altitude', () => {
  test('has a row for each altitude and each saved place, over the engine speeds of the line', () => {
    expect(first.ceilings.places.map(({ name, altitudeM }) => name || altitudeM)).toEqual([
      620,
      1620,
      2620,
      'Varn Pass, hot day',
      'Ostra harbour, winter',
    ]);
    expect(first.ceilings.engineSpeedsRpm).toEqual(toMatchInput(build, 0).engineSpeedsRpm);
    expect(study.candidates).toHaveLength(build.candidates.length);
  });

  test("holds at the day's own altitude exactly the operating line of the Match view", () => {
    // 620 m is the altitude of the day: the air carried up from the day must come out as that of the day.
    const line = solveOperatingLine(toMatchInput(build, 0));
    first.held.cells[0]!.forEach(({ point }, k) => {
      const other = line[k]!;
      expect(point.status).toBe(other.status);
      if (point.status !== 'ok' || other.status !== 'ok') return;
      expect(point.shaftSpeedRpm).toBeCloseTo(other.shaftSpeedRpm, 3);
      expect(point.manifoldPressurePa).toBeCloseTo(other.manifoldPressurePa, 3);
    });
  });

  test('lowers every ceiling that the shaft speed binds when more of it is kept in hand, and raises none', () => {
    const careful = computeAltitudes(withBuildField(build, 'limits.shaftSpeedReserve', typed('12', '%')));
    let lowered = 0;
    first.ceilings.cells.forEach((row, p) => {
      row.forEach((before, k) => {
        const after = careful.candidates[0]!.ceilings.cells[p]![k]!;
        if (before.status !== 'ok' || after.status !== 'ok') return;
        expect(after.manifoldPressurePa).toBeLessThanOrEqual(before.manifoldPressurePa + 1);
        if (after.manifoldPressurePa < before.manifoldPressurePa - 1000) lowered += 1;
      });
    });
    expect(lowered).toBeGreaterThan(20);
  });

  test('sets both controllers the same target where the car stands, and parts them from there', () => {
    const { gauge, absolute, engineSpeedsRpm } = first.controllers;
    const column = engineSpeedsRpm.indexOf(4000);
    const at = (held: typeof gauge, row: number) => {
      const point = held.cells[row]![column]!.point;
      if (point.status !== 'ok') throw new Error('a point expected');
      return point;
    };
    expect(at(gauge, 0).manifoldPressurePa).toBeCloseTo(at(absolute, 0).manifoldPressurePa, 1);
    const top = gauge.cells.length - 1;
    // Common practice, no source: held as gauge the engine loses power with altitude, held as absolute the shaft turns faster.
    expect(at(gauge, top).wheelPowerW).toBeLessThan(at(gauge, 0).wheelPowerW * 0.96);
    expect(at(absolute, top).manifoldPressurePa).toBeCloseTo(at(absolute, 0).manifoldPressurePa, 1);
    expect(at(absolute, top).shaftSpeedRpm).toBeGreaterThan(at(gauge, top).shaftSpeedRpm);
  });

  test('goes through a message to the page and back without a loss', () => {
    expect(structuredClone(study)).toEqual(study);
  });

  test('has no study for a candidate without a map, and says nothing false of the others', () => {
    const [a, b] = build.candidates;
    const half = computeAltitudes({ ...build, candidates: [a!, { ...b!, map: null }] });
    expect(half.candidates[1]).toBeNull();
    expect(half.candidates[0]).toEqual(first);
  });

  test('thins engine speeds to at most 41, both ends among them', () => {
    const many = Array.from({ length: 400 }, (_, i) => 1000 + i * 10);
    const picked = studySpeeds(many);
    expect(picked.length).toBeLessThanOrEqual(41);
    expect([picked[0], picked.at(-1)]).toEqual([1000, 4990]);
    expect(studySpeeds([2000, 3000])).toEqual([2000, 3000]);
  });

  test('fits a map once: a message with the same tables brings the same map object', () => {
    const share = rememberMaps();
    const one = share(structuredClone(build));
    const two = share(structuredClone({ ...build, notes: 'changed' }));
    expect(two.candidates[0]!.map).toBe(one.candidates[0]!.map);
  });
});

describe('the spread', () => {
  const small: Build = { ...build, spread: { ...build.spread, samples: typed('128', '1') } };

  test('gives the same numbers for the same seed, others for another, and says how far it is', async () => {
    const shares: number[] = [];
    const one = await computeSpread(small, 0, (share) => shares.push(share));
    expect(await computeSpread(small, 0)).toEqual(one);
    const other = await computeSpread({ ...small, spread: { ...small.spread, seed: typed('2', '1') } }, 0);
    expect(other.spread.atSpeeds).not.toEqual(one.spread.atSpeeds);
    expect(shares.at(-1)).toBe(1);
    expect(shares).toEqual(shares.toSorted((a, b) => a - b));
  });

  test('has no width when nothing is uncertain', async () => {
    const none = Object.fromEntries(
      Object.entries(small.spread.tolerances).map(([key, { unit }]) => [key, typed('0', unit)]),
    ) as Build['spread']['tolerances'];
    const { spread } = await computeSpread({ ...small, spread: { ...small.spread, tolerances: none } }, 0);
    for (const { bands, nominal } of spread.atSpeeds) {
      if (bands.shaftSpeedRpm === null || nominal.status !== 'ok') continue;
      expect(bands.shaftSpeedRpm.p90 - bands.shaftSpeedRpm.p10).toBeLessThan(1);
      expect(bands.shaftSpeedRpm.p50).toBeCloseTo(nominal.shaftSpeedRpm, 0);
    }
  });

  /** A thread of its own in place of a worker: other objects, the same work. */
  const helper = (delayMs = 0): SampleHelper => {
    const { run } = preparedSpread(structuredClone(small), 0);
    return async (from, to) => {
      if (delayMs > 0) await new Promise((resolve) => setTimeout(resolve, delayMs));
      run.solve(from, to);
      return structuredClone(run.solved(from, to));
    };
  };

  test('is the same to the last digit however its samples are shared out', async () => {
    const alone = await computeSpread(small, 0);
    let asked = 0;
    const failing: SampleHelper = () => {
      asked++;
      return Promise.reject(new Error('gone'));
    };
    const never: SampleHelper = () => new Promise(() => undefined);
    for (const helpers of [
      [helper()],
      [helper(), helper(), helper()],
      [helper(3), failing],
      [failing],
      [never, never],
      Array.from({ length: 6 }, () => helper(1)),
    ]) {
      const shares: number[] = [];
      expect(await computeSpread(small, 0, (share) => shares.push(share), helpers)).toEqual(alone);
      expect(shares.at(-1)).toBe(1);
      expect(shares).toEqual(shares.toSorted((a, b) => a - b));
    }
    expect(asked).toBe(2);
  });

  test('is helped by workers that are started once, told the build once, and left alone when they fail', async () => {
    const alone = await computeSpread(small, 0);
    const asked: StudyRequest[][] = [];
    const ended: number[] = [];
    const start = (): StudyWorker => {
      const number = asked.push([]) - 1;
      let shared: ReturnType<typeof preparedSpread> | null = null;
      const worker: StudyWorker = {
        onmessage: null,
        onerror: null,
        postMessage(request) {
          asked[number]!.push(request);
          if (request.kind !== 'samples') throw new Error('samples expected');
          const { build: told, candidateIndex, from, to, id } = request;
          if (told !== null) shared = preparedSpread(structuredClone(told), candidateIndex);
          shared?.run.solve(from, to);
          const data: StudyAnswer =
            number === 1 || shared === null
              ? { id, kind: 'failed', message: 'no memory' }
              : { id, kind: 'samples', result: shared.run.solved(from, to) };
          queueMicrotask(() => worker.onmessage?.({ data } as MessageEvent<StudyAnswer>));
        },
        terminate: () => ended.push(number),
      };
      return worker;
    };
    const helpers = sampleHelpers(start, 2);
    expect(asked).toHaveLength(0);
    for (let round = 0; round < 2; round++)
      expect(await computeSpread(small, 0, undefined, helpers(small, 0))).toEqual(alone);
    expect(asked).toHaveLength(2);
    expect(asked[0]!.filter(({ build: told }) => told !== null)).toHaveLength(2);
    expect(asked[0]!.length).toBeGreaterThan(2);
    // Two asks were before it when it failed; none came after.
    expect(asked[1]!.length).toBeLessThanOrEqual(2);
    expect(ended).toEqual([1]);
    expect(sampleHelpers(start, Number.NaN)(small, 0)).toEqual([]);
    const refused = () => {
      throw new Error('no workers here');
    };
    expect(sampleHelpers(refused, 2)(small, 0)).toEqual([]);
  });

  test('names the entry that stands in the way', async () => {
    const wrong: Build = { ...small, spread: { ...small.spread, seed: typed('x', '1') } };
    await expect(computeSpread(wrong, 0)).rejects.toThrow(/seed/i);
  });
});
