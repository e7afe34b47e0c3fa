import {
  type DraftFit,
  fitDraft,
  fitTurbineDraft,
  isTurbineSheet,
  type MapDraft,
  type MapFitter,
  type TurbineDraftFit,
} from '../../../build/index.ts';

/** What is made of the tables, of either kind, and all there is to say about them. */
export type SheetFit = ({ kind: 'compressor' } & DraftFit) | ({ kind: 'turbine' } & TurbineDraftFit);

const known = new WeakMap<DraftFit | TurbineDraftFit, SheetFit>();

/** The same object for the same fit, so that nothing is drawn anew where only a name changed. */
export function fitSheet(draft: MapDraft, fitter: MapFitter): SheetFit {
  const fit = isTurbineSheet(draft) ? fitTurbineDraft(draft) : fitDraft(draft, fitter);
  const found = known.get(fit);
  if (found !== undefined) return found;
  const made: SheetFit = 'capacity' in fit ? { kind: 'turbine', ...fit } : { kind: 'compressor', ...fit };
  known.set(fit, made);
  return made;
}
