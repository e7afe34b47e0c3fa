import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { demoBuild, demoWorkspace } from '../../src/build/demo.ts';
import {
  addPlace,
  type Build,
  calibrationOptions,
  defaultBuild,
  fieldAt,
  MOST_PLACES,
  parseBuildFile,
  removePlace,
  setField,
  spreadSetup,
  studyPlaces,
  tryMatchInput,
  type Workspace,
  withBuildField,
} from '../../src/build/index.ts';
import { USUAL_TOLERANCES } from '../../src/match/index.ts';
import { TOLERANCE_TABLE } from '../../src/match/studies/samples.ts';

const typed = (text: string, unit: string) => ({ text, unit });
const changed = (over: Partial<Build>): Build => ({ ...demoBuild(), ...over });
const placesOf = (workspace: Workspace) => workspace.builds[workspace.activeBuildId]!.places;

describe('a file from before the studies', () => {
  const file = parseBuildFile(JSON.parse(readFileSync(new URL('../fixtures/build-v1.json', import.meta.url), 'utf8')));

  test('opens with the usual altitudes, table and tolerances, and no places', () => {
    if (!file.ok) throw new Error(JSON.stringify(file.problems));
    const usual = defaultBuild('usual');
    expect(file.value.altitudes).toEqual(usual.altitudes);
    expect(file.value.calibration).toEqual(usual.calibration);
    expect(file.value.spread).toEqual(usual.spread);
    expect(file.value.places).toEqual([]);
    expect(file.value.limits.stayBelowTopLine).toBe(true);
  });
});

describe('altitudes and places', () => {
  test("the day's own altitude has the day's own air, whatever kind of barometer it was read with", () => {
    for (const barometer of [
      { kind: 'standard', pressure: typed('', 'hPa') },
      { kind: 'read-on-site', pressure: typed('928', 'hPa') },
      { kind: 'weather-report', pressure: typed('1005', 'hPa') },
    ] as const) {
      const build = changed({ air: { ...demoBuild().air, barometer } });
      const here = { ...build, altitudes: { ...build.altitudes, from: typed('620', 'm') } };
      const input = tryMatchInput(here, 0);
      if (!input.ok) throw new Error(JSON.stringify(input.problems));
      const [lowest] = studyPlaces(here).grid;
      expect(lowest!.ambient.pressurePa).toBeCloseTo(input.input.ambient.pressurePa, 3);
      expect(lowest!.ambient.temperatureK).toBeCloseTo(input.input.ambient.temperatureK, 9);
      expect(lowest!.ambient.vapourMoleFraction).toBeCloseTo(input.input.ambient.vapourMoleFraction, 9);
    }
  });

  test('the air up the mountain is that of the standard atmosphere, plus what the day is warmer', () => {
    const build = demoBuild();
    const standard = { ...build, altitudes: { ...build.altitudes, temperature: 'standard' as const } };
    const at = (of: Build, altitudeM: number) => studyPlaces(of).grid.find((place) => place.altitudeM === altitudeM)!;
    // U.S. Standard Atmosphere 1976, geopotential altitude: 2,000 m 275.15 K, 79,495.2 Pa; 3,000 m 268.65 K, 70,108.5 Pa.
    expect(at(standard, 2000).ambient.temperatureK).toBeCloseTo(275.15, 2);
    expect(at(standard, 2000).ambient.pressurePa).toBeCloseTo(79495.2, 0);
    expect(at(standard, 3000).ambient.temperatureK).toBeCloseTo(268.65, 2);
    expect(at(standard, 3000).ambient.pressurePa).toBeCloseTo(70108.5, 0);
    // Hand calculation: 24 °C at 620 m is 297.15 - (288.15 - 0.0065 x 620) = 13.03 K over standard.
    expect(at(build, 2000).ambient.temperatureK).toBeCloseTo(275.15 + 13.03, 2);
    const same = { ...build, altitudes: { ...build.altitudes, temperature: 'same' as const } };
    expect(at(same, 3000).ambient.temperatureK).toBeCloseTo(297.15, 6);
  });

  test('the highest altitude has a row of its own, and the field is fine enough to be read', () => {
    const build = withBuildField(demoBuild(), 'altitudes.to', typed('1700', 'm'));
    const { grid, field, rangeM } = studyPlaces(build);
    expect(grid.map(({ altitudeM }) => altitudeM)).toEqual([0, 500, 1000, 1500, 1700]);
    expect(field.length).toBeGreaterThanOrEqual(13);
    expect(rangeM).toEqual([0, 1700]);
  });

  test('what cannot be read is named with its place, and what can be is still there', () => {
    const [pass, coast] = demoBuild().places;
    const build = changed({ places: [{ ...pass!, temperature: typed('hot', 'degC') }, coast!] });
    const { saved, problems } = studyPlaces(build);
    expect(saved.map(({ name }) => name)).toEqual([coast!.name]);
    expect(problems).toHaveLength(1);
    expect(problems[0]).toMatchObject({ path: 'places[0].temperature' });
    expect(problems[0]!.message).toContain(pass!.name);
    const upside = withBuildField(demoBuild(), 'altitudes.to', typed('-100', 'm'));
    expect(studyPlaces(upside).problems.map(({ path }) => path)).toEqual(['altitudes.to']);
    const fine = withBuildField(demoBuild(), 'altitudes.step', typed('10', 'm'));
    expect(studyPlaces(fine).problems.map(({ path }) => path)).toEqual(['altitudes.step']);
  });

  test('feet and metres give the same altitudes', () => {
    const feet = changed({
      altitudes: {
        ...demoBuild().altitudes,
        from: typed('0', 'ft'),
        to: typed('3280.84', 'ft'),
        step: typed('1640.42', 'ft'),
      },
    });
    const altitudes = studyPlaces(feet).grid.map(({ altitudeM }) => altitudeM ?? Number.NaN);
    [0, 500, 1000].forEach((expected, i) => {
      expect(altitudes[i]).toBeCloseTo(expected, 2);
    });
  });
});

describe('saved places', () => {
  test('begin with the air of the day, keep their names apart, and go by their id', () => {
    let workspace = addPlace('p1', 'Pass').perform(demoWorkspace());
    workspace = addPlace('p2', 'Pass').perform(workspace);
    const [, , first, second] = placesOf(workspace);
    expect(first).toMatchObject({ id: 'p1', name: 'Pass', ...demoBuild().air });
    expect(second!.name).not.toBe('Pass');
    workspace = setField('place.altitude', typed('2050', 'm'), 'p1').perform(workspace);
    expect(placesOf(workspace)[2]!.altitude.text).toBe('2050');
    expect(placesOf(workspace)[3]).toBe(second);
    workspace = removePlace('p1').perform(workspace);
    expect(placesOf(workspace).map(({ id }) => id)).not.toContain('p1');
  });

  test('are twelve at most; a change that changes nothing is no step', () => {
    let workspace = demoWorkspace();
    for (let i = 0; i < 20; i += 1) workspace = addPlace(`p${i}`).perform(workspace);
    expect(placesOf(workspace)).toHaveLength(MOST_PLACES);
    expect(addPlace('one-more').perform(workspace)).toBe(workspace);
    expect(removePlace('not-there').perform(workspace)).toBe(workspace);
    expect(
      setField('place.name', placesOf(workspace).find(({ id }) => id === 'p1')!.name, 'p1').perform(workspace),
    ).toBe(workspace);
  });
});

describe('table and tolerances', () => {
  test('the step is read in its own unit', () => {
    // Hand calculation: 0.5 psi = 3,447.38 Pa.
    const build = withBuildField(demoBuild(), 'calibration.step', typed('0.5', 'psi'));
    expect(calibrationOptions(build)?.stepPa).toBeCloseTo(3447.38, 2);
    expect(calibrationOptions(withBuildField(build, 'calibration.step', typed('', 'bar')))).toBeNull();
  });

  test('a fresh build holds the tolerances that the spread calls usual, and can hold no larger ones than it takes', () => {
    const { setup } = spreadSetup(demoBuild());
    for (const { key, largest } of TOLERANCE_TABLE) {
      expect(setup!.tolerances[key]).toBeCloseTo(USUAL_TOLERANCES[key], 12);
      // The capacity leaves room for the band of an estimate: root of 0.3^2 + 0.16^2 is 0.34.
      expect(fieldAt(`spread.tolerances.${key}`).high).toBe(key === 'turbineCapacity' ? 0.3 : largest);
    }
  });
});
