import { type MapDraft, type MapFitter, type SheetKindKey, sheetKindOf } from '../../../build/index.ts';
import { compressorView } from './compressor.tsx';
import type { SheetFit, SheetView } from './sheetKind.ts';
import { turbineView } from './turbine.tsx';

/** Every kind of sheets, in the order in which they are offered. */
export const sheetViews: Readonly<Record<SheetKindKey, SheetView>> = {
  compressor: compressorView,
  turbine: turbineView,
};

/** What the view knows of the kind of these tables. */
export function viewOf(draft: Pick<MapDraft, 'kind'>): SheetView {
  return sheetViews[sheetKindOf(draft)];
}

/** The same object for the same tables, so that nothing is drawn anew where only a name changed. */
export function fitSheet(draft: MapDraft, fitter: MapFitter): SheetFit {
  return viewOf(draft).fit(draft, fitter);
}
