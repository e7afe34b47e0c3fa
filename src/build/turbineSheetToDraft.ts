import type { TurbineSheet } from '../turbine/types.ts';
import { emptyTurbineSheet } from './defaults.ts';
import type { MapDraft } from './document.ts';

/** A turbine sheet's numbers as the text tables of the Maps view. draftToTurbineSheet of the result gives the same numbers back. */
export function turbineSheetToDraft({ name, source, flow, lines, invented }: TurbineSheet, id: string): MapDraft {
  return {
    ...emptyTurbineSheet(id, name),
    source,
    ...(invented === undefined ? {} : { invented }),
    ...flowCells(flow),
    efficiencyUnit: '1',
    speedLines: lines.map(({ speedRpm, points }) => ({
      speed: cell(speedRpm),
      points: points.map((p) => ({
        flow: cell(p.flow),
        pressureRatio: cell(p.expansionRatio),
        efficiency: cell(p.efficiency),
      })),
    })),
  };
}

function flowCells(flow: TurbineSheet['flow']): Partial<MapDraft> {
  if (flow.kind === 'parameter') return { flowParameter: flow.pressureUnit };
  const { temperatureK, pressurePa } = flow.reference;
  return {
    flowUnit: flow.unit,
    reference: {
      temperature: { text: cell(temperatureK), unit: 'K' },
      pressure: { text: cell(pressurePa), unit: 'Pa' },
    },
  };
}

/** A missing number is an empty cell. */
function cell(value: number | undefined): string {
  return value === undefined ? '' : String(value);
}
