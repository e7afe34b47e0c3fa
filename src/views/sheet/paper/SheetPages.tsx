import {
  type CSSProperties,
  type ReactNode,
  type RefObject,
  useEffect,
  useLayoutEffect,
  useMemo,
  useRef,
  useState,
} from 'react';
import {
  DENSITIES,
  FOOT_MM,
  type MeasuredBand,
  MOST_PAGES,
  type PageOfBands,
  PX_PER_MM,
  paginate,
} from '../model/paper.ts';
import { type SheetInput, type SheetModel, sheetModel } from '../model/sheetModel.ts';
import {
  CandidateFindings,
  Closing,
  Facts,
  Findings,
  Fitment,
  MapFigures,
  MeasuredOnRoad,
  Remarks,
  Sources,
  TitleBlock,
  Turbines,
  Wheels,
} from './blocks.tsx';
import styles from './paper.module.css';
import { CalibrationTables, ControlTablePage, Margins, PointsTable } from './tables.tsx';

interface Props {
  input: SheetInput;
  /** How large the pages are shown; 1 is life size. */
  scale: number;
  /** How many there are in all, and how many of them the sheet itself takes. */
  onPages: (pages: { all: number; ofSheet: number }) => void;
}

/** The pages of the sheet: as many bands on each as fit, none split; fewer engine speeds or smaller type where that saves a third page. */
export function SheetPages({ input, scale, onPages }: Props) {
  const stage = useRef<HTMLDivElement>(null);
  const { model, bands, pages, type } = useSheetLayout(stage, input, scale);
  const { paper } = model;
  const alone = bands.filter(({ isAlone }) => isAlone).length;
  useEffect(() => onPages({ all: pages.length, ofSheet: pages.length - alone }), [pages.length, alone, onPages]);

  const size = {
    '--paper-width': `${paper.widthMm}mm`,
    '--paper-height': `${paper.heightMm}mm`,
    '--paper-side': `${paper.sideMm}mm`,
    '--paper-top': `${paper.topMm}mm`,
    '--paper-bottom': `${paper.bottomMm}mm`,
    '--paper-foot': `${FOOT_MM}mm`,
    '--band-gap': `${GAP_MM}mm`,
    '--sheet-scale': scale,
  } as CSSProperties;
  const byKey = new Map(bands.map((band) => [band.key, band]));
  return (
    <div ref={stage} className={styles.pages} style={size} data-type={type} data-sheet-pages>
      <style>{`@page { size: ${paper.cssName} portrait; margin: 0; }`}</style>
      {pages.map((keys, i) => (
        <div key={keys[0]} className={styles.frame}>
          <article className={styles.page} aria-label={`Page ${i + 1} of ${pages.length}`}>
            <div className={styles.bands}>
              {keys.flatMap((key) => {
                const band = byKey.get(key);
                return band === undefined ? [] : [<BandBox key={key} band={band} />];
              })}
            </div>
            <footer className={styles.foot}>
              <span>
                Lugline {model.head.program} · {model.head.build} · inputs {model.head.inputs}
              </span>
              <span>{model.head.date}</span>
              <span>
                page {i + 1} of {pages.length}
              </span>
            </footer>
          </article>
        </div>
      ))}
    </div>
  );
}

function BandBox({ band }: { band: Band }) {
  return (
    <div className={styles.band} data-band={band.key}>
      {band.node}
    </div>
  );
}

/** Between two bands. */
export const GAP_MM = 2;
/** Kept free on every page: paper sets text a hair wider than the screen, and a line may wrap there that does not here. */
const SPARE_MM = 3;
/** Least height of the maps, and the most that they grow to where their page has room. */
const MAP_MM = { one: { least: 84, most: 118 }, two: { least: 52, most: 90 } };

/**
 * The search for the fullest density that keeps the sheet on its pages, by halves: what comes out depends on the sheet alone, not on
 * what was typed before.
 */
interface Layout {
  of: SheetInput;
  /** The density lies between these two. */
  low: number;
  high: number;
  /** How the bands were found to fit at `high`; null: not measured there. */
  fitting: readonly PageOfBands[] | null;
  level: number;
  /** null: the search goes on. */
  pages: readonly PageOfBands[] | null;
  mapMm: number;
}

interface SheetLayout {
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
function useSheetLayout(stage: RefObject<HTMLElement | null>, input: SheetInput, scale: number): SheetLayout {
  const [layout, setLayout] = useState<Layout | null>(null);
  useRemeasureWithFonts(setLayout);
  const sizes = MAP_MM[input.candidates.length > 1 ? 'two' : 'one'];
  const first = useMemo(() => firstProbe(input, sizes.least), [input, sizes]);
  const current = layout?.of === input ? layout : first;
  const density = DENSITIES[current.level] ?? DENSITIES[0]!;
  const model = useMemo(() => sheetModel(input, density), [input, density]);
  const bands = useMemo(() => bandsOf(model, current.mapMm), [model, current.mapMm]);
  const { paper } = model;
  const stood = useRef<readonly (readonly string[])[]>([]);
  const flowingKeys = bands.flatMap(({ key, isAlone }) => (isAlone === true ? [] : [key]));
  const pages = current.pages?.map(({ keys }) => keys) ?? asTheyStood(stood.current, flowingKeys);
  const pagePx = (paper.heightMm - paper.topMm - paper.bottomMm - FOOT_MM - SPARE_MM) * PX_PER_MM;

  useLayoutEffect(() => {
    if (current.pages !== null) stood.current = pages;
  });
  useLayoutEffect(() => {
    if (stage.current === null || current.pages !== null) return;
    const flowing = bands.filter(({ isAlone }) => isAlone !== true);
    const measured = measure(stage.current, flowing, scale).map((band) =>
      band.key === GROWING ? { ...band, heightPx: band.heightPx - (current.mapMm - sizes.least) * PX_PER_MM } : band,
    );
    setLayout(nextProbe(current, paginate(measured, pagePx, GAP_MM * PX_PER_MM), sizes));
  }, [stage, bands, current, pagePx, scale, sizes]);

  return {
    model,
    bands,
    pages: [...pages, ...bands.flatMap(({ key, isAlone }) => (isAlone === true ? [[key]] : []))],
    type: density.type,
  };
}

/**
 * While the search goes on, bands stand on the pages on which they were found last: one that changes its page is made anew, and all of them
 * have the same heights on any page. What is new stands on the last.
 */
function asTheyStood(before: readonly (readonly string[])[], keys: readonly string[]): readonly (readonly string[])[] {
  const known = new Set(before.flat());
  const added = keys.filter((key) => !known.has(key));
  const kept = before.map((page) => page.filter((key) => keys.includes(key)));
  const last = [...(kept.at(-1) ?? []), ...added];
  return [...kept.slice(0, -1), last].filter((page) => page.length > 0);
}

function firstProbe(of: SheetInput, mapMm: number): Layout {
  const high = DENSITIES.length - 1;
  return { of, low: 0, high, fitting: null, level: Math.floor(high / 2), pages: null, mapMm };
}

function nextProbe(at: Layout, pages: readonly PageOfBands[], sizes: { least: number; most: number }): Layout {
  const fits = pages.length <= MOST_PAGES && pages.every(({ freePx }) => freePx >= 0);
  const low = fits ? at.low : Math.min(at.level + 1, at.high);
  const high = fits ? at.level : at.high;
  const fitting = fits ? pages : at.fitting;
  const next = { ...at, low, high, fitting, level: low === high ? low : Math.floor((low + high) / 2) };
  if (low < high) return next;
  // At the densest nothing may have fitted: it is taken as it is measured.
  const found = fitting ?? (low === at.level ? pages : null);
  return found === null ? next : settled(next, found, sizes);
}

/** The maps take the room that their page has left. */
function settled(at: Layout, pages: readonly PageOfBands[], sizes: { least: number; most: number }): Layout {
  const withMap = pages.find(({ keys }) => keys.includes(GROWING));
  const roomMm = Math.max(0, Math.floor((withMap?.freePx ?? 0) / PX_PER_MM));
  return { ...at, pages, mapMm: Math.min(sizes.most, sizes.least + roomMm) };
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

/** A piece of the sheet that is never split between pages. */
export interface Band {
  key: string;
  node: ReactNode;
  /** May stand before its turn where it fills a page. */
  mayMoveUp?: boolean;
  /** On a page of its own behind the sheet, which stays on its two. */
  isAlone?: boolean;
}

/** The key of the band that may grow into the room that its page has left. */
const GROWING = 'maps';

/**
 * The sheet from top to bottom.
 *
 * @param mapHeightMm height of the drawings of the maps
 */
export function bandsOf(model: SheetModel, mapHeightMm: number): readonly Band[] {
  return [
    { key: 'head', node: <TitleBlock head={model.head} candidates={model.candidates} /> },
    { key: 'facts', node: <Facts groups={model.facts} /> },
    { key: GROWING, node: <MapFigures maps={model.maps} paper={model.paper} heightMm={mapHeightMm} /> },
    { key: 'candidates', node: <CandidateFindings candidates={model.candidates} /> },
    { key: 'margins', node: <MarginsAndFindings model={model} /> },
    ...model.points.map((points) => ({
      key: `points-${points.letter}`,
      node: <PointsTable points={points} />,
    })),
    ...calibrationBands(model),
    ...(model.turbines.length === 0
      ? []
      : [{ key: 'turbine', node: <Turbines blocks={model.turbines} spool={model.spool} />, mayMoveUp: true }]),
    ...(model.measured.length === 0
      ? []
      : [{ key: 'measured', node: <MeasuredOnRoad sentences={model.measured} />, mayMoveUp: true }]),
    { key: 'parts', node: <WheelsAndFitment model={model} />, mayMoveUp: true },
    ...(model.remarks.length === 0
      ? []
      : [{ key: 'remarks', node: <Remarks remarks={model.remarks} />, mayMoveUp: true }]),
    { key: 'sources', node: <Sources sources={model.sources} notes={model.notes} />, mayMoveUp: true },
    { key: 'closing', node: <Closing head={model.head} /> },
    ...model.controlPages.map((page) => ({ key: page.key, node: <ControlTablePage page={page} />, isAlone: true })),
  ];
}

/** Tables of up to this many places stand side by side. */
const MOST_PLACES_IN_HALF = 9;

function calibrationBands({ calibration }: SheetModel): Band[] {
  if (calibration.state !== 'ready') {
    return [{ key: 'calibration', node: <CalibrationTables calibration={calibration} tables={[]} isFirst isLast /> }];
  }
  const isWide = calibration.tables.some(({ matrix }) => matrix.columns.length > MOST_PLACES_IN_HALF);
  const across = isWide ? 1 : 2;
  const count = Math.ceil(calibration.tables.length / across);
  return Array.from({ length: count }, (_, i) => ({
    key: `calibration-${i}`,
    node: (
      <CalibrationTables
        calibration={calibration}
        tables={calibration.tables.slice(i * across, (i + 1) * across)}
        isFirst={i === 0}
        isLast={i === count - 1}
      />
    ),
  }));
}

/** One candidate leaves room for its findings beside the margins. */
function MarginsAndFindings({ model: { margins, candidates } }: { model: SheetModel }) {
  const [first, second] = candidates;
  if (first === undefined) return <p className={styles.note}>The build has no candidate.</p>;
  if (second !== undefined) return <Margins rows={margins} candidates={candidates} />;
  return (
    <div className={styles.halves} data-uneven>
      <Margins rows={margins} candidates={candidates} />
      <section>
        <h2>Findings, worst first</h2>
        <Findings candidate={first} />
      </section>
    </div>
  );
}

function WheelsAndFitment({ model: { wheels, fitment, candidates } }: { model: SheetModel }) {
  return (
    <div className={styles.halves} data-uneven={candidates.length > 1 || undefined}>
      <Wheels wheels={wheels} />
      <Fitment items={fitment} />
    </div>
  );
}
