import { type CSSProperties, useEffect, useRef } from 'react';
import { FOOT_MM } from '../model/paper.ts';
import type { SheetInput } from '../model/sheetModel.ts';
import type { Band } from './bands.tsx';
import styles from './paper.module.css';
import { GAP_MM, useSheetLayout } from './useSheetLayout.ts';

interface Props {
  input: SheetInput;
  /** How large the pages are shown; 1 is life size. */
  scale: number;
  onPages: (count: number) => void;
}

/** The pages of the sheet: as many bands on each as fit, none split; fewer engine speeds or smaller type where that saves a third page. */
export function SheetPages({ input, scale, onPages }: Props) {
  const stage = useRef<HTMLDivElement>(null);
  const { model, bands, pages, type } = useSheetLayout(stage, input, scale);
  const { paper } = model;
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
