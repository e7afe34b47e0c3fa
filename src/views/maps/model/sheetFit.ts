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

/** What is made of the tables, of either kind, and all there is to say about them. */
export type SheetFit = ({ kind: 'compressor' } & DraftFit) | ({ kind: 'turbine' } & TurbineDraftFit);

const known = memory<DraftFit | TurbineDraftFit, SheetFit>();

/** The same object for the same fit, so that nothing is drawn anew where only a name changed. */
export function fitSheet(draft: MapDraft, fitter: MapFitter): SheetFit {
  const fit = isTurbineSheet(draft) ? fitTurbineDraft(draft) : fitDraft(draft, fitter);
  return known(fit, [], () => ('capacity' in fit ? { kind: 'turbine', ...fit } : { kind: 'compressor', ...fit }));
}
