import { FUELS } from '../../engine/index.ts';
import type { FuelKey } from '../../engine/types.ts';
import { parseNumber, shortestNumber } from '../../units/index.ts';
import { type Build, type Candidate, sameContent, type TypedCurve, type Workspace } from '../document.ts';
import { valueAt, withValueAt } from '../field.ts';
import { type BuildPath, type CurvePath, type FieldPath, type FieldValue, fieldAt } from '../fields.ts';
import { withCandidate } from './candidates.ts';
import { buildStep, type Change, merging, step, withActiveBuild } from './changeBuild.ts';
import { editMap, findMap } from './maps.ts';

/** The field of a build at a path. */
export function getBuildField<P extends BuildPath>(build: Build, path: P): FieldValue<P> {
  return valueAt(build, path) as FieldValue<P>;
}

/** The build with one field changed; everything beside the path is shared. */
export function withBuildField<P extends BuildPath>(build: Build, path: P, value: FieldValue<P>): Build {
  return changed(build, path, value);
}

/** A field of the open build, or of the candidate, place or map with that id; undefined where there is none. */
export function getField<P extends FieldPath>(workspace: Workspace, path: P, id = ''): FieldValue<P> | undefined {
  const build = workspace.builds[workspace.activeBuildId];
  const [owner, inner] = ownerOf(path);
  const whole = {
    build: () => build,
    candidate: () => build?.candidates.find((candidate) => candidate.id === id),
    place: () => build?.places.find((place) => place.id === id),
    map: () => findMap(workspace, id),
  }[owner]();
  return whole ? (valueAt(whole, inner) as FieldValue<P>) : undefined;
}

/**
 * Changes one field of the open build, or of the candidate, place or map with that id; typing in the same field within a second is one
 * step of undo.
 */
export function setField<P extends FieldPath>(path: P, value: FieldValue<P>, id = ''): Change {
  const { name } = fieldAt(path);
  const [owner, inner] = ownerOf(path);
  switch (owner) {
    case 'build':
      return merging(`change ${name}`, inner, (workspace) =>
        withActiveBuild(workspace, (build) => changed(build, inner, value)),
      );
    case 'candidate':
      return merging(`change ${name}`, `candidate.${id}.${inner}`, (workspace) =>
        withCandidate(workspace, id, (candidate) => changed(candidate, inner, value)),
      );
    case 'place':
      return merging(`change ${name} of the place`, `place.${id}.${inner}`, (workspace) =>
        withActiveBuild(workspace, (build) => {
          const places = build.places.map((place) => (place.id === id ? changed(place, inner, value) : place));
          return places.some((place, i) => place !== build.places[i]) ? { ...build, places } : build;
        }),
      );
    case 'map':
      return editMap(id, (draft) => changed(draft, inner, value), `edit ${name}`, inner);
  }
}

export const setBuildField: <P extends BuildPath>(path: P, value: FieldValue<P>) => Change = setField;

type Owner = 'build' | 'candidate' | 'place' | 'map';

function ownerOf(path: FieldPath): [Owner, string] {
  const [, owner, inner] = /^(candidate|place|map)\.(.*)$/.exec(path) ?? [];
  return owner === undefined || inner === undefined ? ['build', path] : [owner as Owner, inner];
}

function changed<T>(whole: T, path: string, value: unknown): T {
  return sameContent(valueAt(whole, path), value) ? whole : withValueAt(whole, path, value);
}

/** Replaces the rows of a curve of the open build; the unit stays. A drag of one point is one step. */
export function setCurve(path: CurvePath, rows: TypedCurve['rows']): Change {
  return merging(`change ${fieldAt(path).name}`, path, (workspace) =>
    withActiveBuild(workspace, (build) => changed(build, `${path}.rows`, rows)),
  );
}

/**
 * How the turbine of a candidate is known. An estimate has no efficiencies of its own: where they came off a sheet, the number of the card
 * is taken with it, in the same step of undo.
 */
export function chooseTurbineSource(candidateId: string, source: Candidate['turbine']['source']): Change {
  return step(`change ${fieldAt('candidate.turbine.source').name}`, (workspace) =>
    withCandidate(workspace, candidateId, (candidate) => {
      const chosen = changed(candidate, 'turbine.source', source);
      const isWithout = source === 'measured' && candidate.turbine.efficiency.kind === 'sheet';
      return isWithout ? changed(chosen, 'turbine.efficiency.kind', 'number') : chosen;
    }),
  );
}

/** Far below what anybody knows of a consumption (some 4 %), and enough to bring 285 back to 285 from another fuel. */
const ROUNDING = 2e-4;

/**
 * Changes the fuel of the open build, and with it the specific consumption: every entered value is scaled by the heating values, so that
 * the share of the fuel's heat that reaches the crankshaft stays. A consumption of petrol left standing under E85 would make half as
 * much power again out of the same air. One step of undo brings fuel and consumption back.
 */
export function changeFuel(fuel: FuelKey): Change {
  return buildStep('change fuel', (build) => {
    const { engine } = build;
    if (engine.fuel === fuel) return build;
    const factor = FUELS[engine.fuel].lowerHeatingValueJPerKg / FUELS[fuel].lowerHeatingValueJPerKg;
    return { ...build, engine: { ...engine, fuel, bsfc: scaled(engine.bsfc, factor) } };
  });
}

/** What cannot be read stays as it was typed. */
function scaled(curve: TypedCurve, factor: number): TypedCurve {
  const rows = curve.rows.map((row) => {
    const parsed = parseNumber(row.value);
    return parsed.ok ? { ...row, value: shortestNumber(parsed.value * factor, ROUNDING) } : row;
  });
  return { ...curve, rows };
}
