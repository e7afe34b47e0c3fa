import type { MapDraft } from '../../../build/index.ts';
import { parameterLabel } from './sheetWords.ts';

/** What the flows of a turbine sheet are: corrected flow in a unit of mass flow, or a flow parameter with its unit of pressure. */
export type TurbineFlow = 'kg/s' | 'lb/min' | 'kPa' | 'bar' | 'MPa';

/** Flow meanings in the order in which they are offered. */
export const turbineFlows: readonly { key: TurbineFlow; name: string }[] = [
  { key: 'kg/s', name: 'kg/s' },
  { key: 'lb/min', name: 'lb/min' },
  { key: 'kPa', name: parameterLabel('kPa') },
  { key: 'bar', name: parameterLabel('bar') },
  { key: 'MPa', name: parameterLabel('MPa') },
];

/** null: a unit of volume, which no turbine sheet has. */
export function turbineFlowOf({ flowParameter, flowUnit }: MapDraft): TurbineFlow | null {
  if (flowParameter !== undefined) return flowParameter;
  return flowUnit === 'kg/s' || flowUnit === 'lb/min' ? flowUnit : null;
}

export function isParameter(flow: TurbineFlow): flow is 'kPa' | 'bar' | 'MPa' {
  return flow !== 'kg/s' && flow !== 'lb/min';
}

/** The sheet or map with the meaning of its flows set; units of volume are a compressor map's alone. */
export function setSheetFlow(draft: MapDraft, flow: TurbineFlow | 'm3/s' | 'cfm'): MapDraft {
  return flow === 'm3/s' || flow === 'cfm' ? { ...draft, flowUnit: flow } : setTurbineFlow(draft, flow);
}

/** Says what the numbers of the sheet mean; they stay as typed. The reference state stays for the way back. */
export function setTurbineFlow(draft: MapDraft, flow: TurbineFlow): MapDraft {
  if (isParameter(flow)) return draft.flowParameter === flow ? draft : { ...draft, flowParameter: flow };
  if (draft.flowParameter === undefined && draft.flowUnit === flow) return draft;
  const { flowParameter: _given, ...corrected } = draft;
  return { ...corrected, flowUnit: flow };
}
