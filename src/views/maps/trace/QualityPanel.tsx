import { useEffect, useState } from 'react';
import type { MapSheet } from '../../../compressor/index.ts';
import {
  type QualityCard,
  type QualityProgress,
  qualityCardSteps,
  type SuspiciousPoint,
} from '../../../reading/index.ts';
import { formatNumber } from '../../../units/index.ts';
import { Button, Icon } from '../../../widgets/index.ts';
import mapStyles from '../maps.module.css';
import { FindingLine } from '../SheetPicture.tsx';
import styles from './trace.module.css';

/** The quality card of a sheet as far as it is worked out. */
export interface Quality {
  card: QualityCard | null;
  progress: QualityProgress | null;
}

const NOT_YET: Quality = { card: null, progress: null };
const known = new WeakMap<MapSheet, QualityCard>();
/** Work in one go before the page may draw and answer again, ms. */
const SLICE_MS = 12;

/** Judges a sheet in slices between frames; a sheet that was judged is remembered. null: nothing to judge. */
export function useQuality(sheet: MapSheet | null): Quality {
  const [quality, setQuality] = useState<Quality & { sheet: MapSheet | null }>({ ...NOT_YET, sheet: null });
  useEffect(() => {
    if (sheet === null) return;
    const judged = (card: QualityCard) => setQuality({ sheet, card, progress: null });
    const found = known.get(sheet);
    if (found !== undefined) return judged(found);
    const steps = qualityCardSteps(sheet);
    let timer: ReturnType<typeof setTimeout> | undefined;
    const go = () => {
      const until = performance.now() + SLICE_MS;
      for (;;) {
        const step = steps.next();
        if (step.done === true) {
          known.set(sheet, step.value);
          return judged(step.value);
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
  return quality.sheet === sheet ? quality : NOT_YET;
}

interface SuspiciousProps {
  onShow: (point: SuspiciousPoint) => void;
  onMend: (point: SuspiciousPoint) => void;
  flowUnit: string;
}

/** The quality card: what the sheet has, how much its points scatter, what the surface makes of lines it was not shown. */
export function QualityPanel({ quality: { card, progress }, ...rest }: { quality: Quality } & SuspiciousProps) {
  return (
    <section aria-label="Quality of the reading" className={styles.card}>
      <h3>Quality of the reading</h3>
      {card === null ? (
        <p role="status" className={mapStyles.help}>
          {progress === null ? 'Judging …' : `Judging: ${progress.done} of ${progress.total} lines left out in turn`}
          {progress !== null && <progress max={progress.total} value={progress.done} aria-label="Lines left out" />}
        </p>
      ) : (
        <>
          <Figures card={card} />
          <Suspicious card={card} {...rest} />
        </>
      )}
    </section>
  );
}

function Figures({ card }: { card: QualityCard }) {
  const { noise, leftOut } = card;
  return (
    <table className={styles.figures}>
      <tbody>
        {card.requirements.map((r) => (
          <tr key={r.code} title={r.source}>
            <th scope="row">
              {r.code === 'speed-lines' ? 'Speed lines' : 'Fewest points on a line'}
              <small>{r.atLeast === null ? 'SAE J1826 asks: not known here' : `SAE J1826 asks for ${r.atLeast}`}</small>
            </th>
            <td>
              {r.has}{' '}
              {r.met !== null && (
                <span className={r.met ? styles.met : styles.unmet}>
                  <Icon name={r.met ? 'check' : 'caution'} />
                  <span className={mapStyles.hidden}>{r.met ? 'met' : 'not met'}</span>
                </span>
              )}
            </td>
          </tr>
        ))}
        <Figure
          name="Reading noise"
          note="how far points lie off a smooth line, standard deviation"
          value={noise.speedShare === null ? 'too few points' : `${percent(noise.speedShare)} % speed`}
        />
        <Figure
          name="Lines left out: speed"
          note="median · 19 of 20, of the surface without the line"
          value={
            leftOut.speedMedian === null
              ? 'four lines are needed'
              : `${percent(leftOut.speedMedian)} % · ${percent(leftOut.speed95)} %`
          }
        />
        <Figure
          name="Lines left out: efficiency"
          note="median · 19 of 20, points of efficiency"
          value={
            leftOut.efficiencyMedian === null
              ? 'no efficiencies on lines'
              : `${percent(leftOut.efficiencyMedian)} · ${percent(leftOut.efficiency95)}`
          }
        />
        <Figure
          name="Points"
          note="with an efficiency of their own"
          value={`${card.points} (${card.pointsWithEfficiency})`}
        />
        <Figure name="Islands" note="" value={String(card.islands)} />
        <Figure name="Hash of the data" note="the match sheet prints it" value={card.hash} />
      </tbody>
    </table>
  );
}

function Suspicious({ card, onShow, onMend, flowUnit }: { card: QualityCard } & SuspiciousProps) {
  if (card.suspicious.length === 0) return <p className={mapStyles.help}>No point stands off its line.</p>;
  return (
    <>
      <h4>Points that stand off</h4>
      <ul className={styles.findings}>
        {card.suspicious.map((point) => (
          <FindingLine
            key={`${point.place.line} ${point.place.point}`}
            severity="warning"
            message={point.message}
            isUnsaid
            onPress={() => onShow(point)}
          >
            {point.expected !== null && point.off !== null && (
              <Button onPress={() => onMend(point)}>
                {point.off.of === 'flow'
                  ? `Set its flow to ${formatNumber(point.expected.flow, 4)} ${flowUnit}`
                  : `Set its pressure ratio to ${formatNumber(point.expected.pressureRatio, 3)}`}
              </Button>
            )}
          </FindingLine>
        ))}
      </ul>
    </>
  );
}

/** The 95th part is known wherever the median is. */
function percent(share: number | null): string {
  return share === null ? '–' : formatNumber(share * 100, 2);
}

/** A row of the quality card. */
export function Figure({ name, note, value }: { name: string; note: string; value: string }) {
  return (
    <tr>
      <th scope="row">
        {name}
        {note !== '' && <small>{note}</small>}
      </th>
      <td>{value}</td>
    </tr>
  );
}
