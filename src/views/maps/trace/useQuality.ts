import { useEffect, useState } from 'react';
import type { MapSheet } from '../../../compressor/index.ts';
import type { QualityCard, QualityProgress } from '../../../compressor/reading/index.ts';
import { reading } from './reading.ts';

/** The quality card of a sheet as far as it is worked out. */
export interface Quality {
  card: QualityCard | null;
  progress: QualityProgress | null;
}

const known = new WeakMap<MapSheet, QualityCard>();
/** Work in one go before the page may draw and answer again, ms. */
const SLICE_MS = 12;

/** Judges a sheet in slices between frames; a sheet that was judged is remembered. null: nothing to judge. */
export function useQuality(sheet: MapSheet | null): Quality {
  const [quality, setQuality] = useState<Quality & { sheet: MapSheet | null }>({
    sheet: null,
    card: null,
    progress: null,
  });
  useEffect(() => {
    if (sheet === null) return;
    const found = known.get(sheet);
    if (found !== undefined) {
      setQuality({ sheet, card: found, progress: null });
      return;
    }
    const steps = reading.qualityCardSteps(sheet);
    let timer: ReturnType<typeof setTimeout> | undefined;
    const go = () => {
      const until = performance.now() + SLICE_MS;
      for (;;) {
        const step = steps.next();
        if (step.done === true) {
          known.set(sheet, step.value);
          setQuality({ sheet, card: step.value, progress: null });
          return;
        }
        if (performance.now() < until) continue;
        setQuality({ sheet, card: null, progress: step.value });
        timer = setTimeout(go);
        return;
      }
    };
    // Not while the tables are still being typed into.
    timer = setTimeout(go, 200);
    return () => clearTimeout(timer);
  }, [sheet]);
  return quality.sheet === sheet ? quality : { card: null, progress: null };
}
