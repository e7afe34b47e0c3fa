import { type CSSProperties, useEffect, useLayoutEffect, useMemo, useRef, useState } from 'react';
import { DENSITIES, MOST_PAGES } from '../model/density.ts';
import { type MeasuredBand, type PageOfBands, paginate } from '../model/paginate.ts';
import { FOOT_MM, PX_PER_MM } from '../model/paper.ts';
import { type SheetInput, sheetModel } from '../model/sheetModel.ts';
import { type Band, bandsOf, GROWING } from './bands.tsx';
import styles from './paper.module.css';

const GAP_MM = 2.4;
/** Kept free on every page: paper sets text a hair wider than the screen, and a line may wrap there that does not here. */
const SPARE_MM = 3;
/** Least height of the maps, and the most that they grow to where their page has room. */
const MAP_MM = { one: { least: 84, most: 118 }, two: { least: 63, most: 90 } };

interface Layout {
  of: SheetInput;
  level: number;
  pages: readonly PageOfBands[];
  mapMm: number;
  isSettled: boolean;
}

interface Props {
  input: SheetInput;
  /** How large the pages are shown; 1 is life size. */
  scale: number;
  onPages: (count: number) => void;
}

/** The pages of the sheet: as many bands on each as fit, none split; fewer engine speeds or smaller type where that saves a third page. */
export function SheetPages({ input, scale, onPages }: Props) {
  const stage = useRef<HTMLDivElement>(null);
  const [fonts, setFonts] = useState(0);
  const [layout, setLayout] = useState<Layout | null>(null);
  const current = layout?.of === input ? layout : null;
  const level = current?.level ?? 0;
  const density = DENSITIES[level] ?? DENSITIES[0]!;
  const model = useMemo(() => sheetModel(input, density), [input, density]);
  const sizes = MAP_MM[model.maps.length > 1 ? 'two' : 'one'];
  const mapMm = current?.mapMm ?? sizes.least;
  const bands = useMemo(() => bandsOf(model, mapMm), [model, mapMm]);
  const { paper } = model;
  const pagePx = (paper.heightMm - paper.topMm - paper.bottomMm - FOOT_MM - SPARE_MM) * PX_PER_MM;
  const pages = current?.pages ?? [{ keys: bands.map(({ key }) => key), freePx: 0 }];

  // biome-ignore lint/correctness/useExhaustiveDependencies: fonts counts the faces that have come; heights change with them
  useLayoutEffect(() => {
    if (stage.current === null || current?.isSettled) return;
    const grown = (mapMm - sizes.least) * PX_PER_MM;
    const measured = measure(stage.current, bands, scale).map((band) =>
      band.key === GROWING ? { ...band, heightPx: band.heightPx - grown } : band,
    );
    const next = paginate(measured, pagePx, GAP_MM * PX_PER_MM);
    if (next.length > MOST_PAGES && level < DENSITIES.length - 1) {
      setLayout({ of: input, level: level + 1, pages: next, mapMm: sizes.least, isSettled: false });
      return;
    }
    const withMap = next.find(({ keys }) => keys.includes(GROWING));
    const room = Math.max(0, Math.floor((withMap?.freePx ?? 0) / PX_PER_MM));
    setLayout({
      of: input,
      level,
      pages: next,
      mapMm: Math.min(sizes.most, sizes.least + room),
      isSettled: true,
    });
  }, [input, bands, current, level, mapMm, pagePx, scale, sizes, fonts]);

  useEffect(() => {
    const remeasure = () => {
      setFonts((count) => count + 1);
      setLayout(null);
    };
    document.fonts?.addEventListener?.('loadingdone', remeasure);
    return () => document.fonts?.removeEventListener?.('loadingdone', remeasure);
  }, []);
  useEffect(() => onPages(pages.length), [pages.length, onPages]);

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
    <div ref={stage} className={styles.pages} style={size} data-type={density.type} data-sheet-pages>
      <style>{`@page { size: ${paper.cssName} portrait; margin: 0; }`}</style>
      {pages.map(({ keys }, i) => (
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

/** Heights in CSS pixels of the paper, whatever the scale it is shown at. */
function measure(stage: HTMLElement, bands: readonly Band[], scale: number): MeasuredBand[] {
  return bands.map(({ key, mayMoveUp }) => {
    const box = stage.querySelector(`[data-band="${key}"]`);
    return { key, mayMoveUp, heightPx: (box?.getBoundingClientRect().height ?? 0) / scale };
  });
}
