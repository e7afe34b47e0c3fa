import {
  type DraftFit,
  fitDraft,
  fitTurbineDraft,
  isTurbineSheet,
  type MapDraft,
  type MapFitter,
  type TurbineDraftFit,
} from '../../../build/index.ts';
import { memory } from '../../../numerics/index.ts';
import { sheetFlowUnits } from '../../../units/index.ts';

/** What a compressor map and a turbine sheet call the same thing differently. */
export interface SheetWords {
  /** 'Compressor map'. */
  kind: string;
  /** 'Pressure ratio'. */
  ratio: string;
  /** Where there is no room: 'PR'. */
  ratioShort: string;
  /** What its lines are called: 'speed line'. */
  line: string;
}

const COMPRESSOR: SheetWords = {
  kind: 'Compressor map',
  ratio: 'Pressure ratio',
  ratioShort: 'PR',
  line: 'speed line',
};
const TURBINE: SheetWords = { kind: 'Turbine sheet', ratio: 'Expansion ratio', ratioShort: 'ER', line: 'line' };

export function sheetWords(draft: Pick<MapDraft, 'kind'>): SheetWords {
  return isTurbineSheet(draft) ? TURBINE : COMPRESSOR;
}

/** Unit of the flow column: 'kg/s', or that of a flow parameter. */
export function flowUnitLabel({ flowUnit, flowParameter }: Pick<MapDraft, 'flowUnit' | 'flowParameter'>): string {
  return flowParameter === undefined ? sheetFlowUnits[flowUnit].label : parameterLabel(flowParameter);
}

export function parameterLabel(pressureUnit: NonNullable<MapDraft['flowParameter']>): string {
  return `kg√K/(s·${pressureUnit})`;
}

/** Unit of the speed of a line: a sheet of flow parameters has its speeds over the root of the temperature. */
export function speedUnitLabel({ flowParameter }: Pick<MapDraft, 'flowParameter'>): string {
  return flowParameter === undefined ? 'rpm' : 'rpm/√K';
}

/** Plain words for the speed of a line. */
export function speedName({ flowParameter }: Pick<MapDraft, 'flowParameter'>): string {
  return flowParameter === undefined ? 'Corrected speed' : 'Speed over √T03';
}

/** What is made of the tables, of either kind, and all there is to say about them. */
export type SheetFit = ({ kind: 'compressor' } & DraftFit) | ({ kind: 'turbine' } & TurbineDraftFit);

const known = memory<DraftFit | TurbineDraftFit, SheetFit>();

/** The same object for the same fit, so that nothing is drawn anew where only a name changed. */
export function fitSheet(draft: MapDraft, fitter: MapFitter): SheetFit {
  const fit = isTurbineSheet(draft) ? fitTurbineDraft(draft) : fitDraft(draft, fitter);
  return known(fit, [], () => ('capacity' in fit ? { kind: 'turbine', ...fit } : { kind: 'compressor', ...fit }));
}
