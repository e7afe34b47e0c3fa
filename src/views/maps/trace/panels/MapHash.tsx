import { useMemo } from 'react';
import { draftToSheet, draftToTurbineSheet, isTurbineSheet, type MapDraft } from '../../../../build/index.ts';
import mapStyles from '../../maps.module.css';
import { reading } from '../reading.ts';
import styles from '../trace.module.css';

/** The short hash of the data: the same on paper and on screen means the same numbers. */
export function MapHash({ draft }: { draft: MapDraft }) {
  const hash = useMemo(() => {
    if (isTurbineSheet(draft)) {
      const sheet = draftToTurbineSheet(draft);
      return sheet.ok ? reading.turbineHash(sheet.sheet) : null;
    }
    const read = draftToSheet(draft);
    return read.ok ? reading.mapHash(read.sheet) : null;
  }, [draft]);
  return (
    <p className={mapStyles.help}>
      Hash of the data: <span className={styles.hash}>{hash ?? 'not before the reference state is entered'}</span>
    </p>
  );
}
