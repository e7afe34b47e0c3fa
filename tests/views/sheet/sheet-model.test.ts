import { describe, expect, it } from 'vitest';
import { demoBuild } from '../../../src/build/demo.ts';
import { toMatchInput } from '../../../src/build/index.ts';
import { type OperatingPointSolved, shaftSpeedLimit, solveOperatingLine } from '../../../src/match/index.ts';
import { DENSITIES } from '../../../src/views/sheet/model/paper.ts';
import { sheetModel } from '../../../src/views/sheet/model/sheetModel.ts';
import { sheetInput } from './sheetInput.ts';

const FULL = DENSITIES[0]!;
const plain = (text: string) => text.replaceAll('\u00a0', ' ');
const demo = demoBuild();
const both = sheetModel(sheetInput(), FULL);
const solved = (index: number) =>
  solveOperatingLine(toMatchInput(demo, index)).filter((p): p is OperatingPointSolved => p.status === 'ok');

describe('the margins of the sheet', () => {
  it.each([0, 1])('are the worst of the headless line of candidate %i', (index) => {
    const input = toMatchInput(demo, index);
    const points = solved(index);
    const row = (title: string) => {
      const found = both.margins.find((one) => one.title === title);
      if (found === undefined) throw new Error(`no row ${title}`);
      return found.cells[index]!;
    };
    const fastest = points.reduce((a, b) => (b.shaftSpeedRpm > a.shaftSpeedRpm ? b : a));
    const inHand = 1 - fastest.shaftSpeedRpm / (shaftSpeedLimit(input) ?? Number.NaN);
    expect(plain(row('Shaft speed').worst)).toBe(`${(inHand * 100).toFixed(1)} % in hand`);
    expect(row('Shaft speed').word).toBe(inHand >= (input.limits.shaftSpeedReserve ?? 0) ? 'holds' : 'caution');
    const surge = Math.min(...points.map((p) => p.surgeMargin ?? Number.POSITIVE_INFINITY));
    expect(plain(row('Surge margin').worst)).toBe(`${(surge * 100).toFixed(1).replace('-', '−')} %`);
    // The sign is that of the finding: less than asked is a caution, left of surge a stop.
    const word = surge >= (input.limits.surgeMargin ?? 0) ? 'holds' : surge >= 0 ? 'caution' : 'crossed';
    expect(row('Surge margin').word).toBe(word);
    expect(word).toBe(['caution', 'crossed'][index]);
    const hottest = Math.max(...points.map((p) => p.compressorOutletTemperatureK));
    expect(plain(row('Outlet temperature').worst)).toBe(`${(hottest - 273.15).toFixed(0)} °C`);
  });

  it('ask once where both candidates are asked the same, else each by its own', () => {
    const asked = (title: string) => both.margins.find((one) => one.title === title)?.asked.map(plain);
    expect(asked('Surge margin')).toEqual(['at least 10 %']);
    expect(asked('Shaft speed')).toEqual(['172\u202f000 rpm less 3 %', '156\u202f000 rpm less 3 %']);
  });

  it('hold the second against the first only where two are printed', () => {
    expect(both.margins.some(({ against }) => against?.verdict === 'worse')).toBe(true);
    const one = sheetModel(sheetInput(demo, 1), FULL);
    expect(one.margins.every(({ against, cells }) => against === null && cells.length === 1)).toBe(true);
  });

  it('a shaft without a limit is named among the assumptions and has no row of margins', () => {
    const free = {
      ...demo,
      candidates: demo.candidates.map((c) => ({
        ...c,
        shaftSpeedLimit: { text: '', unit: 'rpm' },
        map: c.map && { ...c.map, limits: { shaftSpeed: { text: '', unit: 'rpm' } } },
      })),
    };
    const model = sheetModel(sheetInput(free, 1), FULL);
    expect(model.remarks.map(({ words }) => words)).toContain(
      'No maximum shaft speed is known: nothing is said about overspeed.',
    );
    expect(model.margins.find(({ title }) => title === 'Shaft speed')).toBeUndefined();
  });
});

describe('the table of points', () => {
  it('has every engine speed where there is room, and says how many it left out where there is none', () => {
    expect(both.points.map(({ rows, note }) => [rows.length, note])).toEqual([
      [19, ''],
      [19, ''],
    ]);
    const tight = sheetModel(sheetInput(), DENSITIES.at(-1)!);
    expect(tight.points[0]?.rows.length).toBeLessThanOrEqual(7);
    expect(tight.points[0]?.note).toMatch(/^\d of 19 engine speeds/);
  });
});

describe('the findings', () => {
  it('leave out no stop where room is short, and count what they leave out', () => {
    // Limits of temperature and pressure that the match cannot hold: many things are said at once.
    const limits = {
      ...demo.limits,
      compressorOutletTemperature: { text: '100', unit: 'degC' },
      manifoldPressure: { text: '150', unit: 'kPa' },
      surgeMargin: { text: '60', unit: '%' },
      chokeMargin: { text: '60', unit: '%' },
    };
    const build = { ...demo, limits, fuelSupply: { ...demo.fuelSupply, dutyLimit: { text: '10', unit: '%' } } };
    const input = sheetInput(build);
    const full = sheetModel(input, FULL).candidates;
    const tight = sheetModel(input, DENSITIES.at(-1)!).candidates;
    const stops = (block: (typeof full)[number]) => block.findings.filter(({ severity }) => severity === 'stop');
    expect(stops(full[0]!).length).toBeGreaterThan(0);
    let left = 0;
    full.forEach((block, i) => {
      expect(block.more).toBe('');
      expect(stops(tight[i]!)).toEqual(stops(block));
      const missing = block.findings.length - tight[i]!.findings.length;
      expect(tight[i]!.findings).toEqual(block.findings.slice(0, tight[i]!.findings.length));
      expect(tight[i]!.more === '' ? 0 : Number.parseInt(tight[i]!.more, 10)).toBe(missing);
      left += missing;
    });
    expect(left).toBeGreaterThan(0);
  });
});

describe('the turbine block', () => {
  it('has the turbine of the headless line: threshold, back-pressure, gate; its course is in the table of points', () => {
    expect(both.turbines.map(({ letter }) => letter)).toEqual(['A', 'B']);
    both.turbines.forEach((block, index) => {
      const points = solved(index);
      const most = points.reduce((a, b) => (b.backPressureRatio! > a.backPressureRatio! ? b : a));
      expect(block.results.map(plain).join('; ')).toContain(`p3/p_m up to ${most.backPressureRatio!.toFixed(2)} at`);
      const table = both.points[index]!;
      const cellsOf = (key: string) =>
        table.rows.map(({ cells }) => cells?.[table.columns.findIndex((c) => c.key === key)]);
      expect(cellsOf('backPressureRatio')).toEqual(points.map((p) => p.backPressureRatio!.toFixed(2)));
      expect(cellsOf('wastegateShare')).toEqual(points.map((p) => (100 * p.wastegateShare!).toFixed(1)));
      table.rows.forEach(({ remark }, i) => {
        expect(remark.includes('turbine-limited')).toBe(points[i]!.turbine!.heldBy === 'turbine');
      });
    });
    expect(both.turbines[1]?.results[0]).toMatch(/^boost threshold 3\d\d0.rpm; turbine-limited/);
  });

  it('is left out where no candidate has a turbine, and says so of one that has none', () => {
    const without = (indices: readonly number[]) => ({
      ...demo,
      candidates: demo.candidates.map((c, i) =>
        indices.includes(i) ? { ...c, turbine: { ...c.turbine, source: 'none' as const }, turbineSheet: null } : c,
      ),
    });
    expect(sheetModel(sheetInput(without([0, 1])), FULL).turbines).toEqual([]);
    const [a, b] = sheetModel(sheetInput(without([1])), FULL).turbines;
    expect(a?.results.length).toBeGreaterThan(0);
    expect(b).toMatchObject({ results: [] });
    expect(sheetModel(sheetInput(without([1])), FULL).points.map(({ columns }) => columns.length)).toEqual([18, 14]);
    expect(b?.basis).toContain('No turbine data');
  });

  it('names the sheet that a turbine was read from, with its hash, among the sources', () => {
    const turbine = both.sources.filter(({ name }) => name.endsWith('(turbine)'));
    expect(turbine.map(({ letter }) => letter)).toEqual(['A', 'B']);
    for (const { hash } of turbine) expect(hash).toMatch(/^[0-9A-Z]{4}-[0-9A-Z]{4}$/);
  });
});

describe('what is not known', () => {
  it('a calibration table that is not there yet is not there at all', () => {
    expect(both.calibration).toMatchObject({ state: 'computing', tables: [], notes: [], held: [] });
    const input = sheetInput();
    const failed = sheetModel({ ...input, study: { ...input.study, problem: 'It failed.' } }, FULL);
    expect(failed.calibration).toMatchObject({ state: 'none', tables: [], words: 'Calibration table: It failed.' });
  });

  it('a candidate without a map says so in place of its map, and has no table', () => {
    const empty = { ...demo, candidates: demo.candidates.map((c, i) => (i === 1 ? { ...c, map: null } : c)) };
    const model = sheetModel(sheetInput(empty), FULL);
    expect(model.maps[1]).toMatchObject({ model: null, missing: 'No map is chosen for this candidate.' });
    expect(model.points.map(({ letter }) => letter)).toEqual(['A']);
    expect(model.candidates[1]?.problems.length).toBeGreaterThan(0);
    expect(model.sources.filter(({ name }) => !name.endsWith('(turbine)')).map(({ letter }) => letter)).toEqual(['A']);
  });

  it('an estimate is called one in its heading, on its map, over its points and first among the remarks', () => {
    const [a, b] = demo.candidates;
    if (a === undefined || b === undefined) throw new Error('two candidates expected');
    const donated = { ...demo, candidates: [a, { ...b, map: null, donor: a.map }] };
    const model = sheetModel(sheetInput(donated), FULL);
    expect(model.candidates[1]?.isEstimated).toBe(true);
    expect(model.maps[1]?.title).toContain('Estimate, scaled from');
    expect(model.points[1]?.isEstimated).toBe(true);
    expect(model.remarks[0]).toMatchObject({ kind: 'estimate', letters: 'B' });
    expect(model.sources.filter(({ letter }) => letter === 'B')[0]?.name).toContain('(donor, scaled)');
  });
});

describe('what was entered', () => {
  it('stands as it was typed, with its unit', () => {
    const typed = {
      ...demo,
      engine: { ...demo.engine, displacement: { text: '1,95', unit: 'L' } },
      air: { ...demo.air, altitude: { text: '2034.1', unit: 'ft' } },
    };
    const facts = sheetModel(sheetInput(typed), FULL).facts.flatMap((group) => group.facts);
    const value = (title: string) => plain(facts.find((fact) => fact.title === title)?.value ?? '');
    expect(value('Engine')).toBe('1,95 L, 4 cyl., 4-stroke');
    expect(value('Altitude')).toBe('2034.1 ft');
    expect(value('Goal at rpm, bar')).toBe(
      '0.10 @ 2000, 0.30 @ 2500, 0.95 @ 3000, 1.25 @ 3500, 1.40 @ 5000, 1.28 @ 6500',
    );
  });

  it('both maps stand on the same axes at one reference state', () => {
    const [a, b] = both.maps;
    expect(a?.model?.axes).toEqual(b?.model?.axes);
    expect(a?.reference).toBe(b?.reference);
  });

  it('the hash of the inputs changes with an input, not with a name', () => {
    const renamed = sheetModel(sheetInput({ ...demo, name: 'Other' }), FULL);
    const higher = sheetModel(
      sheetInput({ ...demo, air: { ...demo.air, altitude: { text: '700', unit: 'm' } } }),
      FULL,
    );
    expect(renamed.head.inputs).toBe(both.head.inputs);
    expect(higher.head.inputs).not.toBe(both.head.inputs);
  });
});
