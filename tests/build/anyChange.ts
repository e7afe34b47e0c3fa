import fc from 'fast-check';
import type { Change, Workspace } from '../../src/build/index.ts';
import * as b from '../../src/build/index.ts';
import type { FuelKey } from '../../src/engine/index.ts';
import { tinyDraft } from './tinyMap.ts';
import { turbineDraft } from './tinyTurbine.ts';

/** A command in the making: it is aimed at whatever build, candidate or map stands at that place when its turn comes. */
export type MakeChange = (workspace: Workspace, serial: number) => Change;

const pick = <T>(list: readonly T[], n: number): T | undefined => list[n % Math.max(1, list.length)];
const buildAt = (w: Workspace, n: number) => pick(w.buildOrder, n) ?? 'none';
const mapAt = (w: Workspace, n: number) => pick(w.shelfOrder, n) ?? 'none';
const candidateAt = (w: Workspace, n: number) => pick(w.builds[w.activeBuildId]?.candidates ?? [], n)?.id ?? 'none';
const placeAt = (w: Workspace, n: number) => pick(w.builds[w.activeBuildId]?.places ?? [], n)?.id ?? 'none';

const number = fc.nat(9);
const text = fc.string({ maxLength: 6 });

/** Every command of the document, with arguments that hit and miss. */
export const anyChange: fc.Arbitrary<MakeChange> = fc.oneof(
  number.map((): MakeChange => (_w, serial) => b.newBuild(`new-${serial}`)),
  number.map(
    (n): MakeChange =>
      (w, serial) =>
        b.duplicateBuild(buildAt(w, n), `copy-${serial}`),
  ),
  fc.tuple(number, text).map(
    ([n, name]): MakeChange =>
      (w) =>
        b.renameBuild(buildAt(w, n), name),
  ),
  number.map(
    (n): MakeChange =>
      (w, serial) =>
        b.deleteBuild(buildAt(w, n), `spare-${serial}`),
  ),
  number.map(
    (n): MakeChange =>
      (w) =>
        b.selectBuild(buildAt(w, n)),
  ),
  text.map(
    (t): MakeChange =>
      () =>
        b.setBuildField('air.altitude', { text: t, unit: 'm' }),
  ),
  fc.constantFrom('petrol', 'diesel', 'e85').map(
    (f): MakeChange =>
      () =>
        b.setBuildField('engine.fuel', f as FuelKey),
  ),
  text.map(
    (t): MakeChange =>
      () =>
        b.setCurve('engine.lambda', [{ engineSpeed: '3000', value: t }]),
  ),
  number.map((): MakeChange => (_w, serial) => b.addPlace(`place-${serial}`)),
  number.map(
    (n): MakeChange =>
      (w) =>
        b.removePlace(placeAt(w, n)),
  ),
  fc.tuple(number, text).map(
    ([n, name]): MakeChange =>
      (w) =>
        b.setField('place.name', name, placeAt(w, n)),
  ),
  number.map((): MakeChange => (_w, serial) => b.addCandidate(`candidate-${serial}`)),
  number.map(
    (n): MakeChange =>
      (w) =>
        b.removeCandidate(candidateAt(w, n)),
  ),
  fc.tuple(number, text).map(
    ([n, t]): MakeChange =>
      (w) =>
        b.setField('candidate.name', t, candidateAt(w, n)),
  ),
  fc.tuple(number, number).map(
    ([n, m]): MakeChange =>
      (w) =>
        b.assignMap(candidateAt(w, n), m === 0 ? null : mapAt(w, m)),
  ),
  fc.tuple(number, number).map(
    ([n, m]): MakeChange =>
      (w) =>
        b.assignDonor(candidateAt(w, n), m === 0 ? null : mapAt(w, m)),
  ),
  fc.tuple(number, number).map(
    ([n, m]): MakeChange =>
      (w) =>
        b.assignTurbineSheet(candidateAt(w, n), m === 0 ? null : mapAt(w, m)),
  ),
  fc.tuple(number, text).map(
    ([n, t]): MakeChange =>
      (w) =>
        b.setField('candidate.wheels.compressor.exducer', { text: t, unit: 'mm' }, candidateAt(w, n)),
  ),
  fc.tuple(number, fc.constantFrom('none', 'sheet', 'measured')).map(
    ([n, source]): MakeChange =>
      (w) =>
        b.setField('candidate.turbine.source', source as b.Candidate['turbine']['source'], candidateAt(w, n)),
  ),
  fc.tuple(number, text).map(
    ([n, t]): MakeChange =>
      (w) =>
        b.setField('candidate.turbine.efficiency.value', { text: t, unit: '%' }, candidateAt(w, n)),
  ),
  text.map(
    (t): MakeChange =>
      () =>
        b.setCurve('exhaust.inletTemperature.curve', [{ engineSpeed: '3000', value: t }]),
  ),
  text.map(
    (t): MakeChange =>
      () =>
        b.setBuildField('limits.backPressureRatio', { text: t, unit: '1' }),
  ),
  text.map(
    (t): MakeChange =>
      () =>
        b.setBuildField('sheet.customerReference', t),
  ),
  text.map(
    (t): MakeChange =>
      (_w, serial) =>
        b.addFitmentItem(`part-${serial}`, t),
  ),
  fc.tuple(number, text).map(
    ([n, t]): MakeChange =>
      (w) =>
        b.setFitmentItem(pick(w.builds[w.activeBuildId]?.fitment ?? [], n)?.id ?? 'none', 'detail', t),
  ),
  number.map(
    (n): MakeChange =>
      (w) =>
        b.removeFitmentItem(pick(w.builds[w.activeBuildId]?.fitment ?? [], n)?.id ?? 'none'),
  ),
  number.map((): MakeChange => (_w, serial) => b.addSheet('compressor', `map-${serial}`)),
  number.map((): MakeChange => (_w, serial) => b.addSheet('turbine', `turbine-${serial}`)),
  number.map(
    (n): MakeChange =>
      (w, serial) =>
        b.duplicateMap(mapAt(w, n), `map-copy-${serial}`),
  ),
  fc.tuple(number, text).map(
    ([n, name]): MakeChange =>
      (w) =>
        b.renameMap(mapAt(w, n), name),
  ),
  number.map(
    (n): MakeChange =>
      (w) =>
        b.deleteMap(mapAt(w, n)),
  ),
  number.map(
    (n): MakeChange =>
      (w) =>
        b.putMapOnShelf(w.builds[w.activeBuildId]?.candidates[n % 2]?.map?.id ?? 'none'),
  ),
  fc.tuple(number, text).map(
    ([n, t]): MakeChange =>
      (w) =>
        b.editMap(mapAt(w, n), (map) => ({ ...map, source: t })),
  ),
  fc.tuple(number, fc.boolean()).map(
    ([n, turned]): MakeChange =>
      (w) =>
        b.editMap(mapAt(w, n), (map) => ({ ...map, kind: turned ? 'turbine' : undefined, flowParameter: 'kPa' })),
  ),
  number.map(
    (n): MakeChange =>
      (_w, serial) =>
        b.importMap(turbineDraft(`file-map-${n % 3}`, `Turbine from file ${n}`), `fresh-turbine-${serial}`),
  ),
  number.map(
    (n): MakeChange =>
      (_w, serial) =>
        b.importMap(tinyDraft(`file-map-${n % 3}`, `From file ${n}`), `fresh-map-${serial}`),
  ),
  fc.tuple(number, text).map(
    ([n, notes]): MakeChange =>
      (_w, serial) =>
        b.importBuild({ ...withTurbine(buildWithMap(`file-build-${n % 3}`)), notes }, `fresh-${serial}`),
  ),
  fc.constantFrom('light', 'dark', 'system').map(
    (t): MakeChange =>
      () =>
        b.changeSettings({ theme: t as 'light' }),
  ),
  number.map(
    (n): MakeChange =>
      (_w, serial) =>
        b.restoreBackup(
          {
            builds: [buildWithMap(`kept-${n % 2}`)],
            maps: [tinyDraft('kept-map', `Kept ${n}`), turbineDraft('kept-turbine', `Kept ${n}`)],
            settings: n % 2 === 0 ? null : { ...b.defaultSettings, theme: 'dark' },
            activeBuildId: null,
          },
          `restored-${serial}`,
        ),
  ),
);

export function buildWithMap(id: string, map = tinyDraft(`${id}-map`)): b.Build {
  const build = b.defaultBuild(id, `Build ${id}`);
  return { ...build, candidates: build.candidates.map((candidate) => ({ ...candidate, map })) };
}

/** Every candidate takes its turbine from the one sheet. */
export function withTurbine(build: b.Build, sheet = turbineDraft(`${build.id}-turbine`)): b.Build {
  const ofSheet = (c: b.Candidate) => ({ ...c.turbine, source: 'sheet' as const });
  return { ...build, candidates: build.candidates.map((c) => ({ ...c, turbine: ofSheet(c), turbineSheet: sheet })) };
}
