import { beforeAll, describe, expect, it } from 'vitest';
import { computeAltitudes, computeSpread } from '../../../src/app/studies/computeStudies.ts';
import { demoBuild } from '../../../src/build/demo.ts';
import { type Build, toMatchInput, withBuildField } from '../../../src/build/index.ts';
import { boostThreshold, inputAt, resultUnits, solveOperatingLine } from '../../../src/match/index.ts';
import type { AltitudeStudy, CandidateStudy } from '../../../src/store/index.ts';
import { sheetWords } from '../../../src/views/altitude/model/calibrationTable.ts';
import { bindingField, ceilingsChart, withPointed } from '../../../src/views/altitude/model/ceilingCharts.ts';
import { controllerWords } from '../../../src/views/altitude/model/controllers.ts';
import {
  altitudeMapLines,
  heldOverAltitude,
  heldQuantities,
  thresholdOverAltitude,
  thresholdWords,
} from '../../../src/views/altitude/model/heldGoalCharts.ts';
import { isAnyDriven, isDriven } from '../../../src/views/altitude/model/pointed.ts';
import { readOut } from '../../../src/views/altitude/model/readOut.ts';
import { influenceBars, influencesAt, spreadWords } from '../../../src/views/altitude/model/spreadCharts.ts';

const plain = (text: string) => text.replaceAll('\u00a0', ' ');
const units = resultUnits({});
const build = demoBuild();
const B = 1;

let study: AltitudeStudy;
let larger: CandidateStudy;
let bareBuild: Build;
let bare: CandidateStudy;

beforeAll(() => {
  study = { ...computeAltitudes(build), build };
  larger = study.candidates[B]!;
  bareBuild = {
    ...build,
    candidates: build.candidates.map((one) => ({
      ...one,
      turbine: { ...one.turbine, source: 'none' as const },
      turbineSheet: null,
    })),
  };
  bare = computeAltitudes(bareBuild).candidates[B]!;
});

/** A place and an engine speed at which B is short of its goal. */
function shortCell() {
  const row = larger.held.places.length - 1;
  const column = larger.held.engineSpeedsRpm.indexOf(2750);
  const { point } = larger.held.cells[row]![column]!;
  if (point.status !== 'ok' || point.turbine === null) throw new Error('not solved');
  expect(point.turbine.heldBy).toBe('turbine');
  return { point, place: larger.held.places[row]! };
}

describe('the goal where the exhaust does not drive it', () => {
  it('is read out as what is reached of what is asked for', () => {
    const { point, place } = shortCell();
    const words = readOut(build, larger, { engineSpeedRpm: 2750, altitudeM: place.altitudeM }, units, null);
    const said = plain(words.terms.find(({ title }) => title === 'Goal')!.value);
    const [reached, asked] = said.replace(' bar', '').split(' of ').map(Number);
    expect(reached).toBeCloseTo((point.manifoldPressurePa - place.ambient.pressurePa) / 1e5, 2);
    // The curve of the demonstration at 2,750 rpm is linear from 2,500 to 3,000 rpm.
    const { rows } = build.goal.curves['gauge-boost'];
    const at = (rpm: string) => Number(rows.find(({ engineSpeed }) => engineSpeed === rpm)!.value);
    expect(Math.abs(asked! - (at('2500') + at('3000')) / 2)).toBeLessThan(0.0051);
    expect(asked).toBeGreaterThan(reached! + 0.1);
  });

  it('is drawn among the ceilings as it is asked for, the same at every altitude', () => {
    const goal = (altitudeM: number) => ceilingsChart(build, larger, altitudeM).series.at(-1)!;
    const [low, high] = [goal(0), goal(3000)];
    low.points.forEach((point, i) => {
      if (point && high.points[i]) expect(point.value).toBeCloseTo(high.points[i]!.value, 9);
    });
  });

  it('is drawn on the map as turbine-limited, without the mark of a crossed limit where it crosses none', () => {
    const line = altitudeMapLines(build, larger, B, 3000).at(-1)!;
    expect(line.driven).toBe(true);
    const cells = larger.held.cells.at(-1)!;
    let seen = 0;
    cells.forEach(({ point, crossed }, i) => {
      if (point.status !== 'ok' || point.turbine?.heldBy !== 'turbine') return;
      seen += 1;
      expect(line.points[i]!.part).toBe('turbine');
      expect(line.points[i]!.severity).toBe(crossed === null || crossed === 'turbine' ? undefined : 'stop');
    });
    expect(seen).toBeGreaterThan(3);
    expect(
      altitudeMapLines(bareBuild, bare, B, 3000)
        .at(-1)!
        .points.every((p) => p?.part === undefined),
    ).toBe(true);
  });

  it('is said of either controller, once, with the altitude from which it is so', () => {
    const words = controllerWords(build, larger.controllers, 2750, units).map(({ sentences }) =>
      plain(sentences.join(' ')),
    );
    for (const one of words) expect(one).not.toMatch(/exhaust too weak/);
    expect(words[1]).toMatch(/(From [\d\u202f]+ m up|At every altitude) the exhaust drives less than this target/);
    const held = controllerWords(build, larger.controllers, 5000, units).map(({ sentences }) =>
      plain(sentences.join(' ')),
    );
    for (const one of held) expect(one).toMatch(/wastegate flow [\d.]+ % instead of [\d.]+ %/);
    for (const one of held) expect(one).not.toMatch(/drives less/);
  });

  it('is in the words of the outline where such cells are outlined', () => {
    const weak = {
      ...larger,
      held: {
        ...larger.held,
        cells: larger.held.cells.map((row) => row.map((cell) => ({ ...cell, crossed: 'turbine' as const }))),
      },
    };
    expect(bindingField(build, weak).marked!.label).toBe('the goal is over a limit or not reached');
    expect(bindingField(bareBuild, bare).marked!.label).toBe('the goal is over a limit');
  });
});

describe('the boost threshold over altitude', () => {
  it('is that of a line solved at each place, and higher up the mountain', () => {
    const chart = thresholdOverAltitude(build, study.candidates);
    const { points } = chart.series[B]!;
    const input = toMatchInput(build, B);
    for (const row of [0, larger.held.places.length - 1]) {
      const { ambient, altitudeM } = larger.held.places[row]!;
      const line = solveOperatingLine({ ...inputAt(input, ambient), engineSpeedsRpm: larger.held.engineSpeedsRpm });
      const threshold = boostThreshold(line);
      expect(threshold!.status).toBe('found');
      expect(points[row]!.x).toBe(altitudeM);
      expect(points[row]!.value).toBeCloseTo(threshold!.engineSpeedRpm, 3);
    }
    expect(points.at(-1)!.value).toBeGreaterThan(points[0]!.value + 50);
  });

  it('is said to 50 rpm for the lowest and the highest altitude; where it is under every engine speed, that', () => {
    const rounded = (row: number) =>
      Math.round(thresholdOverAltitude(build, study.candidates).series[B]!.points.at(row)!.value / 50) * 50;
    const text = (rpm: number) =>
      `about ${rpm.toLocaleString('en', { useGrouping: 'min2' }).replaceAll(',', '\u202f')} rpm`;
    expect(plain(thresholdWords(build, larger)!)).toBe(
      `Boost threshold of this goal: ${text(rounded(0))} at 0 m, ${text(rounded(-1))} at 3000 m.`,
    );
    expect(plain(thresholdWords(build, study.candidates[0]!)!)).toBe(
      'Boost threshold of this goal: at or below 2000 rpm, from 0 m to 3000 m.',
    );
    expect(thresholdWords(bareBuild, bare)).toBeNull();
  });
});

describe('what the turbine does over altitude', () => {
  it('is offered where one is known, and drawn as the solved points have it', () => {
    const added = heldQuantities(true, {}).filter(
      ({ key }) => !heldQuantities(false, {}).some((other) => other.key === key),
    );
    expect(added.map(({ key }) => key)).toEqual([
      'turbineInletPressurePa',
      'backPressureRatio',
      'wastegateShare',
      'turbine.inletTemperatureK',
    ]);
    const column = larger.held.engineSpeedsRpm.indexOf(5000);
    const { point } = larger.held.cells[0]![column]!;
    if (point.status !== 'ok') throw new Error('not solved');
    const first = (key: (typeof added)[number]['key']) =>
      heldOverAltitude(build, [null, larger], [5000], key, units).series[0]!.points[0]!.value;
    expect(first('turbineInletPressurePa')).toBeCloseTo(point.turbineInletPressurePa! / 1000, 6);
    expect(first('backPressureRatio')).toBeCloseTo(point.backPressureRatio!, 9);
    expect(first('wastegateShare')).toBeCloseTo(point.wastegateShare! * 100, 9);
    expect(first('turbine.inletTemperatureK')).toBeCloseTo(point.turbine!.inletTemperatureK - 273.15, 6);
  });

  it('has the limits that are entered', () => {
    const limited = withBuildField(build, 'limits.backPressureRatio', { text: '1.35', unit: '1' });
    const [a] = computeAltitudes(limited).candidates;
    const { limits } = heldOverAltitude(limited, [a!], [5000], 'backPressureRatio', units);
    expect(limits).toEqual([{ label: 'limit 1.35', value: 1.35, severity: 'stop' }]);
    expect(plain(sheetWords(limited, a!, 0, units).remarks[0]!)).toContain('back-pressure ratio p3/p_m 1.35');
    // It binds somewhere, with its letter, and nowhere does a ceiling exceed it.
    const found = a!.field.cells.flat().flatMap((cell) => (cell.status === 'ok' ? [cell] : []));
    expect(found.some(({ binding }) => binding === 'back-pressure')).toBe(true);
    for (const { point } of found) expect(point.backPressureRatio).toBeLessThan(1.3501);
  });

  it('stands in the read-out, which begins at the highest altitude on every chart', () => {
    const pointed = { engineSpeedRpm: 5000, altitudeM: null };
    const words = readOut(build, larger, pointed, units, null);
    expect(words.terms.map(({ title }) => title).slice(6)).toEqual(['p3/p_m at goal', 'Wastegate flow at goal']);
    expect(plain(words.where)).toContain('3000 m');
    const model = withPointed(ceilingsChart(build, larger, 3000), larger, pointed);
    expect(plain(model.series.find(({ id }) => id === model.focusSeriesId)!.name)).toBe('3000 m');
  });
});

describe('a gate that is too small', () => {
  const withGate = (area: string): Build => ({
    ...build,
    candidates: build.candidates.map((one) => ({
      ...one,
      housing: { ...one.housing, gate: 'internal' as const },
      wastegate: { ...one.wastegate, area: { text: area, unit: 'mm2' } },
    })),
  });

  it('draws, reads out and prints the lowest boost that can be held; a large one says nothing', () => {
    const small = withGate('60');
    const one = computeAltitudes(small).candidates[0]!;
    const { ambient, altitudeM } = one.field.places[0]!;
    const column = one.field.engineSpeedsRpm.indexOf(5000);
    const input = inputAt(toMatchInput(small, 0), ambient);
    const [point] = solveOperatingLine({ ...input, engineSpeedsRpm: [5000] });
    if (point?.status !== 'ok') throw new Error('no point');
    expect(point.turbine!.heldBy).toBe('gate');
    const boost = (point.manifoldPressurePa - ambient.pressurePa) / 1e5;
    // Less is not held: a lower bound is rounded up, never to the nearest.
    const up = (bar: number) => (Math.ceil(100 * bar) / 100).toFixed(2);

    const chart = ceilingsChart(small, one, altitudeM!);
    const line = chart.series.find(({ name }) => /^lowest at .*, gate open$/.test(name))!;
    expect(line.points[column]!.value).toBeCloseTo(boost, 6);
    // Known by its dash from all other lines, without colour.
    expect(chart.series.filter(({ style }) => style === line.style)).toEqual([line]);
    expect(chart.series.at(-1)!.style).toBe('goal');

    const { terms } = readOut(small, one, { engineSpeedRpm: 5000, altitudeM }, units, null);
    const read = terms.find(({ title }) => title === 'Lowest, gate open')!;
    expect(plain(read.value)).toBe(`${up(boost)} bar`);
    const printed = sheetWords(small, one, 0, units).remarks.filter((said) =>
      said.startsWith('Lowest boost, gate wide'),
    );
    expect(printed).toHaveLength(1);
    const most = Math.max(...line.points.flatMap((p) => p?.value ?? []));
    expect(plain(printed[0]!)).toContain(`up to ${up(most)} bar (`);

    for (const none of [build, withGate('5000')]) {
      const quiet = computeAltitudes(none).candidates[0]!;
      expect(ceilingsChart(none, quiet, 0).series.some(({ style }) => style === 'creep')).toBe(false);
      expect(readOut(none, quiet, { engineSpeedRpm: 5000, altitudeM }, units, null).terms).toHaveLength(8);
      expect(sheetWords(none, quiet, 0, units).remarks.join(' ')).not.toContain('Lowest boost');
    }
  });
});

describe('without a turbine', () => {
  it('nothing of one is shown or said, but that it is not computed', () => {
    expect(isDriven(bare)).toBe(false);
    expect(isAnyDriven([null, bare])).toBe(false);
    expect(isAnyDriven([bare, larger])).toBe(true);
    expect(readOut(bareBuild, bare, { engineSpeedRpm: 5000, altitudeM: 0 }, units, null).terms).toHaveLength(6);
    const words = (of: Build, one: CandidateStudy) => {
      const { remarks, cautions } = sheetWords(of, one, B, units);
      return plain([...remarks, ...cautions].join(' '));
    };
    expect(words(bareBuild, bare)).toContain('The turbine side is not computed');
    expect(words(bareBuild, bare)).not.toMatch(/exhaust drives|gate/);
    expect(words(build, larger)).toContain('what the exhaust drives');
    expect(words(build, larger)).toContain(`Turbine: ${build.candidates[B]!.turbineSheet!.name}.`);
    expect(words(build, larger)).not.toContain('not computed');
  });

  it('the spread has no tolerances of one; with one it tells what moves the gate', async () => {
    const few = (of: Build) => withBuildField(of, 'spread.samples', { text: '256', unit: '1' });
    const without = { build: bareBuild, ...(await computeSpread(few(bareBuild), B)) };
    const bars = influenceBars(bareBuild, without.spread, 'shaftSpeedRpm', null).map(({ name }) => name);
    expect(bars).toHaveLength(11);
    expect(bars.join()).not.toMatch(/[Tt]urbine|Exhaust/);
    expect(influenceBars(bareBuild, without.spread, 'wastegateShare', null)).toEqual([]);
    expect(spreadWords(bareBuild, without, 5000).join(' ')).not.toMatch(/p3|goal not reached/);
    const driven = { build, ...(await computeSpread(few(build), B)) };
    const gate = influenceBars(build, driven.spread, 'wastegateShare', null);
    expect(gate).toHaveLength(15);
    // The longest bar has the whole width; at one engine speed the shares are those of that speed.
    expect(gate[0]!.share).toBe(1);
    const at = influencesAt(driven.spread, 5010);
    const there = driven.spread.atSpeeds.find(({ engineSpeedRpm }) => engineSpeedRpm === at)!;
    const first = influenceBars(build, driven.spread, 'shaftSpeedRpm', at)[0]!;
    const most = there.influences.shaftSpeedRpm!.toSorted((a, b) => b.share - a.share)[0]!;
    expect(first).toMatchObject({ key: most.key, shareText: `${Math.round(most.share * 100)}\u00a0%` });
    expect(gate.find(({ name }) => name === 'Turbine efficiency')!.effect).toMatch(/^\+[\d.]+\u00a0points$/);
    expect(plain(spreadWords(build, driven, 5000).join(' '))).toMatch(/p3\/p_m lies between 1\.\d\d and 1\.\d\d/);
  });
});
