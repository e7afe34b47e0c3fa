import type { MapGeometry } from '../../build/index.ts';
import type { MapChart } from '../../plot/index.ts';
import { formatNumber, kgPerSToSheetFlow, type SheetFlowUnit, sheetFlowUnits } from '../../units/index.ts';

/** What the chart needs beside the map itself. */
export interface ChartDay {
  flowUnit: SheetFlowUnit;
  /** What the labels are; 'corrected' also while the air inputs cannot be read. */
  labels: 'physical' | 'corrected';
  /** Labels of the speed lines (speedLabels). */
  speedLabels: readonly string[];
  /** The day's compressor inlet temperature as it is shown: '24 °C'. */
  inletTemperature: string;
  /** The maker's maximum physical speed brought to the map, with its line; null without a limit. */
  limit: { rpm: number; pieces: NonNullable<MapChart['ratedSpeedLine']>['pieces'] } | null;
}

/** Label of every speed line, in the order of the geometry: shaft speeds of the day with a factor, corrected speeds without. */
export function speedLabels(geometry: MapGeometry, factor: number | null): readonly string[] {
  return geometry.speedLines.map(({ correctedSpeedRpm }) => speedLabel(correctedSpeedRpm, factor));
}

/** The layers of the map plot that do not move with the engine, labelled for the day. Flow unit in the map's own reference state. */
export function mapChart(geometry: MapGeometry, day: ChartDay): MapChart {
  const { flowUnit, limit } = day;
  const isVolume = flowUnit === 'm3/s' || flowUnit === 'cfm';
  const top = geometry.extent;
  return {
    flowAxis: {
      title: isVolume ? 'Corrected volume flow' : 'Corrected air flow',
      unit: sheetFlowUnits[flowUnit].label,
      perKgPerS: kgPerSToSheetFlow(1, flowUnit, geometry.reference),
    },
    ratioAxis: { title: 'Pressure ratio, total to total' },
    extent: {
      minFlowKgPerS: 0,
      maxFlowKgPerS: top.maxFlowKgPerS,
      minPressureRatio: 1,
      maxPressureRatio: top.maxPressureRatio,
    },
    speedLines: geometry.speedLines.map(({ entered, line }, index) => ({
      label: day.speedLabels[index] ?? '',
      kind: entered ? 'entered' : 'extended',
      points: line.points,
      isRated: false,
    })),
    speedLabelNote: speedLabelNote(day),
    surgeLine: geometry.surgeLine,
    chokeEnd: geometry.chokeEnd,
    islands: geometry.islands.map((contour) => ({
      contour,
      label: `${percentLabel(contour.efficiency)} %`,
    })),
    islandLabelNote: geometry.islands.length === 0 ? '' : 'Efficiency islands: total to total, %',
    ratedSpeedLine:
      limit === null || limit.pieces.length === 0 ? null : { pieces: limit.pieces, label: limitLabel(day, limit.rpm) },
    sheetPoints: [],
  };
}

/** The limit is a shaft speed; among corrected speeds that has to be said. */
function limitLabel({ labels }: ChartDay, rpm: number): string {
  return `limit ${formatNumber(rpm, 0)} ${labels === 'physical' ? 'rpm' : 'rpm shaft'}`;
}

function percentLabel(share: number): string {
  const percent = share * 100;
  return formatNumber(percent, Math.abs(percent - Math.round(percent)) < 1e-6 ? 0 : 1);
}

/** Shaft speed rounded to the nearest hundred, which is finer than any sheet is read; corrected speed as it stands on the sheet. */
function speedLabel(correctedSpeedRpm: number, factor: number | null): string {
  if (factor === null) return formatNumber(correctedSpeedRpm, 0);
  return formatNumber(Math.round((correctedSpeedRpm * factor) / 100) * 100, 0);
}

function speedLabelNote({ labels, inletTemperature }: ChartDay): string {
  return labels === 'physical'
    ? `Speed lines: shaft speed in rpm at ${inletTemperature} inlet`
    : 'Speed lines: corrected speed in rpm';
}
