import type { Build } from '../../../build/index.ts';
import { mapGeometry, speedLineAt } from '../../../build/index.ts';
import type { HeldCell, OperatingPoint } from '../../../match/index.ts';
import type { PlotOperatingLine } from '../../../plot/index.ts';
import type { CandidateResults, CandidateStudy } from '../../../store/index.ts';
import type { SheetFlowUnit } from '../../../units/index.ts';
import { altitudeText, altitudeUnit } from '../../shared/altitudeStudies.ts';
import { mapChart, operatingLine, speedLabels, withoutMarks } from '../../shared/mapDrawing.ts';
import { candidateLetter } from '../../shared/provenance.ts';
import { isDriven, isTurbineLimited } from './driven.ts';
import { nearestPlace } from './pointed.ts';

/** The map itself, labelled in corrected speeds: a shaft speed would be another one at every altitude. */
export function altitudeMapChart(
  results: CandidateResults,
  study: CandidateStudy,
  row: number,
  flowUnit: SheetFlowUnit,
) {
  const { surface, sheet } = results;
  if (surface === null || sheet === null) return null;
  const geometry = mapGeometry(surface, sheet);
  const { shaftSpeedRpm } = study.held.limits;
  const solved = [...(study.field.cells[row] ?? [])].find((cell) => cell.status === 'ok');
  // N / Nc is one number at a place; any solved point there has it.
  const factor = solved?.status === 'ok' ? solved.point.shaftSpeedRpm / solved.point.correctedSpeedRpm : null;
  const limit =
    shaftSpeedRpm === undefined || factor === null
      ? null
      : { rpm: shaftSpeedRpm, pieces: speedLineAt(surface, shaftSpeedRpm / factor) };
  return mapChart(geometry, {
    flowUnit,
    labels: 'corrected',
    speedLabels: speedLabels(geometry, null),
    inletTemperature: '',
    limit,
  });
}

/** The goal held at the altitude pointed at, and faintly at others. */
export function altitudeMapLines(
  build: Build,
  study: CandidateStudy,
  index: number,
  altitudeM: number,
): PlotOperatingLine[] {
  const { held } = study;
  const unit = altitudeUnit(build);
  const row = nearestPlace(held.places, altitudeM);
  const style = index % 2 === 0 ? ('a' as const) : ('b' as const);
  const points = (at: number): OperatingPoint[] => (held.cells[at] ?? []).map(({ point }) => point);
  const name = `${candidateLetter(index)}, goal held at ${altitudeText(held.places[row]?.altitudeM ?? null, unit)}`;
  const main = operatingLine('main', name, style, points(row), []);
  const cells = held.cells[row] ?? [];
  const hasTurbine = isDriven(study);
  const marked: PlotOperatingLine = {
    ...main,
    driven: hasTurbine,
    points: main.points.map((point, i) => {
      const cell = cells[i];
      if (point === null || cell === undefined) return point;
      return {
        ...point,
        ...(isOver(cell) && { severity: 'stop' as const }),
        ...(hasTurbine && { part: partOf(cell) }),
      };
    }),
  };
  const others = faintRows(held.places.length, row).map(
    (at): PlotOperatingLine => ({
      ...operatingLine(`altitude-${at}`, '', style, points(at), []),
      name: altitudeText(held.places[at]?.altitudeM ?? null, unit),
      faint: true,
    }),
  );
  return [...others.map(withoutMarks), marked];
}

/** A limit is crossed; that the goal is not reached is no limit, and the line is drawn as turbine-limited there. */
function isOver({ point, crossed }: HeldCell): boolean {
  if (crossed === null || crossed === 'no-compression') return false;
  return !(crossed === 'turbine' && isTurbineLimited(point));
}

/** The part of the line that a point belongs to, as on the map of the Match view. */
function partOf(cell: HeldCell): 'turbine' | 'ceiling' | undefined {
  if (cell.point.status === 'ok' && cell.point.turbine?.heldBy === 'turbine') return 'turbine';
  return isOver(cell) ? 'ceiling' : undefined;
}

/** The lowest, the middle and the highest, but for the one pointed at. */
function faintRows(count: number, row: number): number[] {
  return [...new Set([0, Math.floor((count - 1) / 2), count - 1])].filter((at) => at >= 0 && at !== row);
}
