import { useMemo } from 'react';
import { draftToTurbineSheet, type MapDraft, type TurbineDraftFit } from '../../../../build/index.ts';
import type { SheetPlace } from '../../../../compressor/index.ts';
import { formatNumber } from '../../../../units/index.ts';
import mapStyles from '../../maps.module.css';
import { countWords } from '../../model/findingList.ts';
import { flowUnitLabel } from '../../model/sheetWords.ts';
import { turbineQuality } from '../../model/turbineQuality.ts';
import { reading } from '../reading.ts';
import styles from '../trace.module.css';
import { CheckEntry } from './CheckEntry.tsx';
import { Figure } from './Figure.tsx';

export interface TurbineCheckPanelProps {
  draft: MapDraft;
  fit: TurbineDraftFit;
  /** Brings a place of the tables into sight on the picture. */
  onShow: (place: SheetPlace) => void;
}

/** What is doubtful with the reading of a turbine sheet, each with its place on the picture, and what is known of the reading. */
export function TurbineCheckPanel({ draft, fit, onShow }: TurbineCheckPanelProps) {
  const { findings } = fit;
  return (
    <div className={mapStyles.panel}>
      <section className={styles.card} aria-label="Audit of the sheet">
        <h3>
          Audit <span className={mapStyles.auditCount}>{countWords(findings)}</span>
        </h3>
        <ul className={styles.findings}>
          {findings.map((finding) => (
            <CheckEntry
              key={`${finding.code} ${finding.message}`}
              finding={finding}
              place={finding.place}
              onShow={onShow}
            />
          ))}
        </ul>
      </section>
      <section aria-label="Quality of the reading" className={styles.card}>
        <h3>Quality of the reading</h3>
        <Known draft={draft} fit={fit} />
      </section>
    </div>
  );
}

function Known({ draft, fit }: { draft: MapDraft; fit: TurbineDraftFit }) {
  const quality = turbineQuality(fit);
  const hash = useMemo(() => {
    const read = draftToTurbineSheet(draft);
    return read.ok ? reading.turbineHash(read.sheet) : null;
  }, [draft]);
  if (quality === null) return <p className={mapStyles.help}>Nothing is fitted yet.</p>;
  const { lines, points, pointsWithEfficiency, expansionRatio, flow, law, scatter } = quality;
  const flowDecimals = flow.high < 0.1 ? 4 : flow.high < 10 ? 3 : 1;
  const range = ({ low, high }: { low: number; high: number }, decimals: number) =>
    `${formatNumber(low, decimals)} to ${formatNumber(high, decimals)}`;
  return (
    <table className={styles.figures}>
      <tbody>
        <Figure name="Lines" note="" value={String(lines)} />
        <Figure name="Points" note="with an efficiency of their own" value={`${points} (${pointsWithEfficiency})`} />
        <Figure name="Expansion ratio" note="beyond it the curve is extended" value={range(expansionRatio, 2)} />
        <Figure name="Flow" note={flowUnitLabel(draft)} value={range(flow, flowDecimals)} />
        {law !== null && (
          <>
            <Figure
              name="Fitted area"
              note="of a nozzle that swallows as much"
              value={`${formatNumber(law.areaM2 * 1e4, 2)} cm²`}
            />
            <Figure
              name="Fitted exponent"
              note="1: chokes as one nozzle; less: later"
              value={formatNumber(law.exponent, 2)}
            />
          </>
        )}
        <Figure
          name="Scatter"
          note="of points off a smooth line, standard deviation"
          value={scatter === null ? 'too few points' : `${formatNumber(scatter * 100, 2)} % of flow`}
        />
        {hash !== null && <Figure name="Hash of the data" note="the same numbers have the same hash" value={hash} />}
      </tbody>
    </table>
  );
}
