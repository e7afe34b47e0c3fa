import { beforeAll, describe, expect, it } from 'vitest';
import { computeAltitudes } from '../../../src/app/studies/computeStudies.ts';
import { demoBuild } from '../../../src/build/demo.ts';
import { type Build, withBuildField } from '../../../src/build/index.ts';
import type { CalibrationTable } from '../../../src/match/index.ts';
import { BINDING_KINDS, bindingKind, bindingLook, resultUnits } from '../../../src/match/index.ts';
import type { RoadLogRow } from '../../../src/match/types.ts';
import type { AltitudeStudy, CandidateStudy } from '../../../src/store/index.ts';
import { matricesCsv, matrixTsv, sheetWords } from '../../../src/views/altitude/model/calibrationTable.ts';
import { bindingField, ceilingsChart, withPointed } from '../../../src/views/altitude/model/ceilingCharts.ts';
import { controllerCharts, controllerWords } from '../../../src/views/altitude/model/controllers.ts';
import { speedFactorAt } from '../../../src/views/altitude/model/heldGoalCharts.ts';
import { nearestPlace, roundSpeeds, usualSpeeds } from '../../../src/views/altitude/model/pointed.ts';
import { readOut } from '../../../src/views/altitude/model/readOut.ts';
import { heldVerdict, placeAir, stepDecimals, tunerPressure } from '../../../src/views/shared/altitudeStudies.ts';
import { calibrationMatrix, lettersOf, MATRIX_KEYS } from '../../../src/views/shared/calibrationMatrix.ts';

const typed = (text: string, unit: string) => ({ text, unit });
const plain = (text: string) => text.replaceAll('\u00a0', ' ');
const units = resultUnits({});

let study: AltitudeStudy;
let first: CandidateStudy;
let table: CalibrationTable;
const build = demoBuild();

beforeAll(() => {
  study = { ...computeAltitudes(build), build };
  first = study.candidates[0]!;
  table = first.calibration!;
});

/** The study of the demonstration build with one thing changed. */
function studied(changed: Build): CandidateStudy {
  return computeAltitudes(changed).candidates[0]!;
}

describe('what binds', () => {
  it('has a letter and a hatch of its own for every limit', () => {
    const limits = [
      'shaft-speed',
      'surge-margin',
      'choke-margin',
      'outlet-temperature',
      'manifold-pressure',
      'brake-power',
      'torque',
      'top-line',
      'turbine',
      'back-pressure',
      'turbine-temperature',
    ] as const;
    expect(new Set(limits.map((limit) => bindingLook(limit).letter)).size).toBe(limits.length);
    expect(new Set(limits.map((limit) => bindingLook(limit).hatch)).size).toBe(limits.length);
    for (const limit of limits) expect(BINDING_KINDS.map(({ key }) => key)).toContain(bindingKind(limit));
    expect(bindingKind('not-converged')).toBe('other');
    // No boost at all is the same matter as too little.
    expect(bindingKind('turbine-too-weak')).toBe('turbine');
    expect(bindingLook('turbine-too-weak')).toBe(bindingLook('turbine'));
  });

  it('outlines on the field exactly where holding the goal crosses a limit', () => {
    const field = bindingField(build, first);
    expect(field.ys).toHaveLength(first.field.places.length);
    field.marked!.cells.forEach((row, p) => {
      row.forEach((isOver, k) => {
        const { crossed } = first.held.cells[p]![k]!;
        expect(isOver).toBe(crossed !== null && crossed !== 'no-compression');
      });
    });
  });
});

describe('the map over altitude', () => {
  it('has one N / Nc at a place, the same whichever points the limits leave: a new study leaves the map as it is', () => {
    const other = studied(withBuildField(build, 'limits.shaftSpeedReserve', typed('12', '%')));
    first.field.places.forEach((_, row) => {
      const factor = speedFactorAt(first, row);
      expect(factor).not.toBeNull();
      expect(speedFactorAt(other, row)).toBe(factor);
      for (const cell of other.field.cells[row]!) {
        if (cell.status !== 'ok') continue;
        expect(cell.point.shaftSpeedRpm / cell.point.correctedSpeedRpm / factor!).toBeCloseTo(1, 9);
      }
    });
  });
});

describe("the tuner's pressure", () => {
  it('is in the unit of the step and the kind that was chosen', () => {
    const bar = tunerPressure(build);
    expect(bar.value(240_000, 90_000)).toBeCloseTo(1.5, 12);
    expect(plain(bar.text(240_000, 90_000))).toBe('1.50 bar');
    const absolute = tunerPressure(withBuildField(build, 'calibration.pressureKind', 'absolute'));
    expect(plain(absolute.text(240_000, 90_000))).toBe('2.40 bar abs');
    const psi = tunerPressure(withBuildField(build, 'calibration.step', typed('0.1', 'psi')));
    // Hand calculation: 150 kPa / 6.894757 kPa per psi = 21.756.
    expect(plain(psi.text(240_000, 90_000))).toBe('21.8 psi');
  });

  it('rounds a ceiling down, never up, and leaves what is on the step where it is', () => {
    const bar = tunerPressure(build);
    expect(plain(bar.textDown(100_000 + 139_999, 100_000))).toBe('1.39 bar');
    expect(plain(bar.textDown(100_000 + 140_000, 100_000))).toBe('1.40 bar');
  });

  it('has as many decimals as the step', () => {
    const decimals = (text: string, unit: string) =>
      stepDecimals(withBuildField(build, 'calibration.step', typed(text, unit)));
    expect([decimals('0.01', 'bar'), decimals('0.005', 'bar'), decimals('1', 'kPa'), decimals('0.25', 'psi')]).toEqual([
      2, 3, 0, 2,
    ]);
  });
});

describe('the calibration table', () => {
  const number = (text: string) => Number(text.replaceAll('\u202f', ''));

  it('never allows more than the ceiling, and less than a step below it', () => {
    const matrix = calibrationMatrix(build, table, 'allowed', units);
    let seen = 0;
    matrix.rows.forEach((row, k) => {
      row.cells.forEach((cell, p) => {
        const ceiling = first.ceilings.cells[p]![k]!;
        if (ceiling.status !== 'ok' || /none|–/.test(cell.text)) return;
        seen += 1;
        const bar = ceiling.gaugeBoostPa / 1e5;
        expect(number(cell.text)).toBeLessThanOrEqual(bar + 1e-9);
        expect(number(cell.text)).toBeGreaterThan(bar - 0.0101);
        expect(cell.mark).toBe(bindingLook(ceiling.binding).letter);
      });
    });
    expect(seen).toBeGreaterThan(100);
  });

  it('shows at the ceiling a shaft speed within its limit, and the frequency of six blades', () => {
    const shaft = calibrationMatrix(build, table, 'shaft-ceiling', units);
    const pickup = calibrationMatrix(build, table, 'pickup-ceiling', units);
    // Invented limit 172,000 rpm less 3 %: hand calculation 166,840 rpm, 16,684 Hz with six blades.
    shaft.rows.forEach((row, k) => {
      row.cells.forEach((cell, p) => {
        if (/none|–/.test(cell.text)) return;
        expect(number(cell.text)).toBeLessThanOrEqual(166_840);
        const hertz = number(pickup.rows[k]!.cells[p]!.text);
        expect(Math.abs(hertz - number(cell.text) / 10)).toBeLessThanOrEqual(1);
      });
    });
    expect(Math.max(...shaft.rows.flatMap(({ cells }) => cells.map(({ text }) => number(text) || 0)))).toBeGreaterThan(
      166_800,
    );
  });

  it('sets what a road log measured beside what is expected with the goal held, at the engine speeds that it covers', () => {
    const row = (engineSpeedRpm: number, shaftSpeedRpm: number) =>
      ({
        used: true,
        engineSpeedRpm,
        shaftSpeedRpm,
        predictedShaftSpeedRpm: 150_000,
        manifoldPressurePa: 230_000,
      }) as RoadLogRow;
    const ambient = { pressurePa: 100_000, temperatureK: 290, vapourMoleFraction: 0 };
    const rows = [row(4470, 148_000), row(4530, 150_000), { ...row(4500, 90_000), used: false }, row(5130, 160_000)];
    const measured = { rows, ambient, bladesPastSensor: 6 };
    const cellsOf = (key: (typeof MATRIX_KEYS)[number]) =>
      calibrationMatrix(build, table, key, units, measured).rows.map(({ engineSpeedRpm, cells }) => ({
        engineSpeedRpm,
        road: cells.slice(table.places.length).map(({ text }) => text),
      }));
    // By hand: the mean of the two used rows near 4,500 rpm is 149,000 rpm, predicted 150,000; six blades make a tenth of it in Hz; 230 - 100 kPa
    // are 1.30 bar.
    for (const [key, road] of [
      ['shaft-goal', ['1.30', '150\u202f000', '149\u202f000']],
      ['pickup-goal', ['1.30', '15\u202f000', '14\u202f900']],
      ['target', ['1.30']],
    ] as const) {
      const cells = cellsOf(key);
      expect(cells.find(({ engineSpeedRpm }) => engineSpeedRpm === 4500)?.road).toEqual(road);
      expect(cells.filter((cell) => cell.road.some((text) => text !== ''))).toHaveLength(1);
    }
    const { columns } = calibrationMatrix(build, table, 'pickup-goal', units, measured);
    expect(columns.slice(-3).map(({ title }) => title)).toEqual(['Logged, bar gauge', 'Expected', 'Measured']);
    for (const key of ['shaft-ceiling', 'power-goal', 'allowed'] as const)
      expect(calibrationMatrix(build, table, key, units, measured)).toEqual(
        calibrationMatrix(build, table, key, units),
      );
  });

  it('underlines where holding the goal crosses a limit, with its letter in the matrix of targets', () => {
    const target = calibrationMatrix(build, table, 'target', units);
    target.rows.forEach((row, k) => {
      row.cells.forEach((cell, p) => {
        const { goalCrosses } = table.cells[p]![k]!;
        expect(cell.isOver).toBe(goalCrosses !== null);
        expect(cell.mark).toBe(goalCrosses === null ? '' : bindingLook(goalCrosses).letter);
      });
    });
    expect(lettersOf(table)).toContain('T outlet temperature');
  });

  it('copies as a matrix of plain numbers, engine speeds down and places across', () => {
    const rows = matrixTsv(calibrationMatrix(build, table, 'shaft-ceiling', units))
      .trimEnd()
      .split('\n')
      .map((row) => row.split('\t'));
    expect(rows[0]!.slice(1, 3)).toEqual(['0 m', '500 m']);
    expect(rows).toHaveLength(1 + table.engineSpeedsRpm.length);
    for (const cells of rows.slice(1)) for (const cell of cells) expect(cell).toMatch(/^\d*$/);
  });

  it('saves every matrix with its unit, quoted where a name has a comma', () => {
    const words = sheetWords(build, first, 0, units);
    const matrices = MATRIX_KEYS.map((key) => calibrationMatrix(build, table, key, units));
    const csv = matricesCsv(matrices, [words.title, ...words.remarks]);
    for (const { title, unit } of matrices) expect(csv).toContain(`${title} [${unit}]`);
    expect(csv).toContain('"Varn Pass, hot day"');
    expect(csv).not.toContain('\u00a0');
  });

  it('says whose it is, under which limits, and to be careful', () => {
    const words = sheetWords(build, first, 0, units);
    const all = plain([words.title, words.candidate, ...words.remarks, ...words.cautions].join(' '));
    for (const part of [
      build.name,
      'Factory size',
      'Invented',
      '172\u202f000 rpm less 3.0 % = 166\u202f840 rpm',
      '180 °C',
      '6 blades',
    ]) {
      expect(all).toContain(part);
    }
    expect(all).toMatch(/makers' limits, local codes and licensed practice/);
    expect(all).not.toMatch(/\.\./);
  });
});

describe('holding a goal, in words', () => {
  it('names the lowest altitude at which the first limit is crossed, and which, rounded down', () => {
    const rising = first.held.crossings.filter(({ status }) => status === 'crossed');
    const lowest = Math.min(...rising.map(({ altitudeM }) => altitudeM!));
    const { next } = heldVerdict(build, first);
    const said = Number(/crossed at ([\d\u202f]+)/.exec(plain(next!))![1]!.replaceAll('\u202f', ''));
    expect(said).toBeLessThanOrEqual(lowest);
    expect(said).toBeGreaterThan(lowest - 11);
  });

  it('says that every limit holds where every limit holds', () => {
    const gentle = withBuildField(build, 'goal.curves.gauge-boost', {
      unit: 'bar',
      rows: [{ engineSpeed: '3000', value: '0.4' }],
    });
    const slow = withBuildField(gentle, 'engineSpeeds.from', typed('4000', 'rpm'));
    const verdict = heldVerdict(slow, studied(slow));
    expect(verdict.tone).toBe('good');
    expect(plain(verdict.headline)).toBe('Every limit holds from 0 m to 3000 m, at every engine speed.');
  });

  it('keeps the boost threshold, which rises with altitude, apart from the limits', () => {
    const crossing = (
      engineSpeedRpm: number,
      status: 'crossed' | 'from-lowest' | 'holds',
      limit: 'turbine' | 'shaft-speed' | null,
      altitudeM: number | null,
      isGuess = false,
    ) => ({ engineSpeedRpm, status, limit, altitudeM, isGuess, holdsBetweenM: [] });
    const withCrossings = (...crossings: ReturnType<typeof crossing>[]): CandidateStudy => ({
      ...first,
      held: { ...first.held, crossings },
    });
    const low = [crossing(2000, 'from-lowest', 'turbine', 0), crossing(2500, 'crossed', 'turbine', 900)];
    const driven = heldVerdict(build, withCrossings(...low, crossing(4000, 'holds', null, null)));
    expect(driven.tone).toBe('good');
    // A guess about the map is told, and judges nothing.
    const guess = crossing(1500, 'crossed', null, 300, true);
    const guessed = heldVerdict(build, withCrossings(guess, crossing(4000, 'holds', null, null)));
    expect(guessed.tone).toBe('good');
    expect(plain(guessed.details.join(' '))).toMatch(/Not judged: at 1500 rpm .* guess/);
    expect(heldVerdict(build, withCrossings(guess)).tone).toBe('caution');
    expect(plain(driven.headline)).toBe(
      'Every limit holds from 0 m to 3000 m, at every engine speed over the boost threshold.',
    );
    // The view says the threshold itself.
    expect(driven.details).toEqual([]);
    const crossed = heldVerdict(build, withCrossings(...low, crossing(6000, 'crossed', 'shaft-speed', 1850)));
    expect(plain(crossed.headline)).toBe('Going up, the first limit is crossed at 1850 m: shaft speed, at 6000 rpm.');
    const over = [crossing(2000, 'from-lowest', 'shaft-speed', 0), crossing(2500, 'from-lowest', 'shaft-speed', 0)];
    const already = heldVerdict(build, withCrossings(...over, crossing(6000, 'crossed', 'shaft-speed', 1850)));
    expect([already.tone, plain(already.headline)]).toEqual([
      'stop',
      'Already over at 0 m: shaft speed, between 2000 and 2500 rpm.',
    ]);
    expect(plain(already.details[0]!)).toMatch(/^From 1850 m at 6000 rpm: shaft speed/);
    expect(plain(heldVerdict(build, withCrossings(over[0]!)).headline)).toBe(
      'Already over at 0 m: shaft speed, at 2000 rpm.',
    );
    // Over other speeds that hold it, an exhaust that gets too weak is a limit like another.
    const weak = heldVerdict(
      build,
      withCrossings(...low, crossing(4000, 'holds', null, null), crossing(6000, 'crossed', 'turbine', 2200)),
    );
    expect(plain(weak.headline)).toContain('2200 m: exhaust too weak, at 6000 rpm');
    const never = heldVerdict(build, withCrossings(crossing(2000, 'from-lowest', 'turbine', 0)));
    expect([never.tone, never.headline]).toEqual(['stop', 'The exhaust does not drive this goal at any engine speed.']);
    expect(plain(heldVerdict(build, withCrossings(...low)).headline)).toBe(
      'Above 900 m the exhaust drives this goal at no engine speed.',
    );
  });

  it('tells the two controllers apart in numbers, and draws both in three charts', () => {
    const [gauge, absolute] = controllerWords(build, first.controllers, 4000, units);
    const power = (words: typeof gauge) =>
      /power at the wheels ([\d\u202f]+) kW instead of ([\d\u202f]+) kW/
        .exec(plain(words!.sentences.join(' ')))!
        .slice(1)
        .map(Number);
    const [gaugeTop, gaugeHome] = power(gauge);
    const [absoluteTop, absoluteHome] = power(absolute);
    expect(gaugeHome).toBe(absoluteHome);
    // Common practice, no source.
    expect(gaugeTop).toBeLessThan(gaugeHome! * 0.95);
    expect(absoluteTop).toBeGreaterThan(absoluteHome! * 0.96);
    const charts = controllerCharts(build, first.controllers, 4000, units);
    expect(charts.map(({ key }) => key)).toEqual(['manifoldPressurePa', 'shaftSpeedRpm', 'wheelPowerW']);
    for (const { model } of charts) expect(model.series.map(({ name }) => name)).toEqual(['gauge', 'absolute']);
  });
});

describe('the charts', () => {
  it('draw one ceiling a place and the goal; the place pointed at stands out', () => {
    const chart = ceilingsChart(build, first, 0);
    expect(chart.series).toHaveLength(first.ceilings.places.length + 1);
    expect(chart.series.at(-1)).toMatchObject({ id: 'goal', name: 'goal', style: 'goal' });
    const named = chart.series
      .filter(({ namedWhenPointed }) => namedWhenPointed !== true)
      .map(({ name }) => plain(name));
    expect(named).toEqual(['0 m', '3000 m', 'goal']);
    const model = withPointed(chart, first, { engineSpeedRpm: 4000, altitudeM: 1620 });
    expect(model.series.find(({ id }) => id === model.focusSeriesId)!.name).toBe('1500\u00a0m');
    const power = withBuildField(build, 'goal.kind', 'brake-power');
    expect(plain(ceilingsChart(power, studied(power), 2000).series.at(-1)!.name)).toBe('goal at 2000 m');
  });

  it('offer round engine speeds and the highest, and begin with two of them', () => {
    const speeds = Array.from({ length: 19 }, (_, i) => 2000 + i * 250);
    expect(roundSpeeds(speeds)).toEqual([2000, 3000, 4000, 5000, 6000, 6500]);
    expect(usualSpeeds(speeds)).toEqual([4000, 6500]);
    expect(roundSpeeds([])).toEqual([]);
    expect(usualSpeeds([3000])).toEqual([3000]);
  });

  it('read out the same numbers as the table has', () => {
    const words = readOut(build, first, { engineSpeedRpm: 5250, altitudeM: 1500 }, units, null);
    const value = (title: string) => plain(words.terms.find((term) => term.title === title)!.value);
    const matrix = calibrationMatrix(build, table, 'allowed', units);
    const cell = matrix.rows.find(({ engineSpeedRpm }) => engineSpeedRpm === 5250)!.cells[3]!;
    expect(value('Ceiling')).toBe(`${cell.text} bar`);
    const shaft = calibrationMatrix(build, table, 'shaft-ceiling', units).rows.find(
      (row) => row.engineSpeedRpm === 5250,
    )!;
    // The table rounds down to 10 rpm, for an alarm; the read-out to four digits, half of 100 rpm.
    expect(Math.abs(number(value('Shaft at ceiling')) - number(shaft.cells[3]!.text))).toBeLessThanOrEqual(60);
  });

  const number = (text: string) => Number(text.replaceAll('\u202f', '').replace(' rpm', ''));

  it('find the nearest place, one of the grid before a saved one', () => {
    const { places } = first.ceilings;
    expect(nearestPlace(places, 2040)).toBe(places.findIndex(({ name }) => name === 'Varn Pass, hot day'));
    expect(nearestPlace(places, 0)).toBe(0);
    expect(plain(placeAir(places[3]!, 'm', units))).toMatch(/^1500 m, 18 °C, 846 hPa$/);
  });
});
