import { type RefObject, useEffect, useLayoutEffect, useMemo, useState } from 'react';
import { DENSITIES, MOST_PAGES } from '../model/density.ts';
import { type MeasuredBand, type PageOfBands, paginate } from '../model/paginate.ts';
import { FOOT_MM, PX_PER_MM } from '../model/paper.ts';
import { type SheetInput, type SheetModel, sheetModel } from '../model/sheetModel.ts';
import { type Band, bandsOf, GROWING } from './bands.tsx';

/** Between two bands. */
export const GAP_MM = 2.4;
/** Kept free on every page: paper sets text a hair wider than the screen, and a line may wrap there that does not here. */
const SPARE_MM = 3;
/** Least height of the maps, and the most that they grow to where their page has room. */
const MAP_MM = { one: { least: 84, most: 118 }, two: { least: 57, most: 90 } };

/**
 * The search for the fullest density that keeps the sheet on its pages, by halves: what comes out depends on the sheet alone, not on
 * what was typed before.
 */
interface Layout {
  of: SheetInput;
  /** The density lies between these two. */
  low: number;
  high: number;
  level: number;
  /** null: not measured yet at this density. */
  pages: readonly PageOfBands[] | null;
  mapMm: number;
  isSettled: boolean;
}

export interface SheetLayout {
  model: SheetModel;
  bands: readonly Band[];
  /** Keys of the bands on each page. */
  pages: readonly (readonly string[])[];
  /** 0: usual type; 1 and 2: smaller. */
  type: number;
}

/**
 * Lays out the sheet: bands are drawn once, measured, put on pages and drawn again, all before anything is seen.
 *
 * @param stage holds the drawn bands
 * @param scale at which they are drawn; heights are those of the paper
 */
export function useSheetLayout(stage: RefObject<HTMLElement | null>, input: SheetInput, scale: number): SheetLayout {
  const [layout, setLayout] = useState<Layout | null>(null);
  useRemeasureWithFonts(setLayout);
  const sizes = MAP_MM[input.candidates.length > 1 ? 'two' : 'one'];
  const first = useMemo(() => firstProbe(input, sizes.least), [input, sizes]);
  const current = layout?.of === input ? layout : first;
  const density = DENSITIES[current.level] ?? DENSITIES[0]!;
  const model = useMemo(() => sheetModel(input, density), [input, density]);
  const bands = useMemo(() => bandsOf(model, current.mapMm), [model, current.mapMm]);
  const { paper } = model;
  const pagePx = (paper.heightMm - paper.topMm - paper.bottomMm - FOOT_MM - SPARE_MM) * PX_PER_MM;

  useLayoutEffect(() => {
    if (stage.current === null || current.isSettled) return;
    const measured = measure(stage.current, bands, scale).map((band) =>
      band.key === GROWING ? { ...band, heightPx: band.heightPx - (current.mapMm - sizes.least) * PX_PER_MM } : band,
    );
    setLayout(nextProbe(current, paginate(measured, pagePx, GAP_MM * PX_PER_MM), sizes));
  }, [stage, bands, current, pagePx, scale, sizes]);

  return {
    model,
    bands,
    pages: current.pages?.map(({ keys }) => keys) ?? [bands.map(({ key }) => key)],
    type: density.type,
  };
}

function firstProbe(of: SheetInput, mapMm: number): Layout {
  const high = DENSITIES.length - 1;
  return { of, low: 0, high, level: Math.floor(high / 2), pages: null, mapMm, isSettled: false };
}

function nextProbe(at: Layout, pages: readonly PageOfBands[], sizes: { least: number; most: number }): Layout {
  const fits = pages.length <= MOST_PAGES && pages.every(({ freePx }) => freePx >= 0);
  const low = fits ? at.low : Math.min(at.level + 1, at.high);
  const high = fits ? at.level : at.high;
  if (low === at.level && low === high) return settled({ ...at, low, high }, pages, sizes);
  const level = low === high ? low : Math.floor((low + high) / 2);
  return { ...at, low, high, level, pages };
}

/** The maps take the room that their page has left. */
function settled(at: Layout, pages: readonly PageOfBands[], sizes: { least: number; most: number }): Layout {
  const withMap = pages.find(({ keys }) => keys.includes(GROWING));
  const roomMm = Math.max(0, Math.floor((withMap?.freePx ?? 0) / PX_PER_MM));
  return { ...at, pages, mapMm: Math.min(sizes.most, sizes.least + roomMm), isSettled: true };
}

/** Heights change when a face of the text comes late. */
function useRemeasureWithFonts(setLayout: (layout: null) => void): void {
  useEffect(() => {
    const remeasure = () => setLayout(null);
    document.fonts?.addEventListener?.('loadingdone', remeasure);
    return () => document.fonts?.removeEventListener?.('loadingdone', remeasure);
  }, [setLayout]);
}

/** Heights in CSS pixels of the paper, whatever the scale it is shown at. */
function measure(stage: HTMLElement, bands: readonly Band[], scale: number): MeasuredBand[] {
  return bands.map(({ key, mayMoveUp }) => {
    const box = stage.querySelector(`[data-band="${key}"]`);
    return { key, mayMoveUp, heightPx: (box?.getBoundingClientRect().height ?? 0) / scale };
  });
}
