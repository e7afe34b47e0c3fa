import { useMemo } from 'react';
import { draftPlace, draftToSheet, type MapDraft, sheetUnits, type TurbineDraftFit } from '../../../build/index.ts';
import { type AuditFinding, auditSheet, type SheetPlace } from '../../../compressor/index.ts';
import { type ProposedRepair, proposedRepair, type SuspiciousPoint } from '../../../reading/index.ts';
import { useLugline } from '../../../store/index.ts';
import { formatNumber, plainNumber, sheetFlowUnits } from '../../../units/index.ts';
import { Button } from '../../../widgets/index.ts';
import type { MapEdit } from '../desk.ts';
import { withLine } from '../editDraft.ts';
import mapStyles from '../maps.module.css';
import { countWords, FindingLine } from '../SheetPicture.tsx';
import { flowUnitLabel } from '../sheetKinds/sheetKind.ts';
import { turbineQuality, turbineView } from '../sheetKinds/turbine.tsx';
import { applySheet } from './completing.ts';
import { Figure, type Quality, QualityPanel } from './QualityPanel.tsx';
import styles from './trace.module.css';

interface Entry {
  finding: AuditFinding;
  /** In the tables; undefined: nowhere to go to. */
  place: SheetPlace | undefined;
  repair?: ProposedRepair | null;
}

/** What is doubtful with the reading, each with its place on the picture and a repair where one is clear, and how good it is. */
export function CheckPanel({
  draft,
  edit,
  quality,
  onShow,
}: {
  draft: MapDraft;
  edit: MapEdit;
  quality: Quality;
  /** Brings a place of the tables into sight on the picture. */
  onShow: (place: SheetPlace) => void;
}) {
  const fitter = useLugline((state) => state.fitter);
  const read = useMemo(() => draftToSheet(draft), [draft]);
  const audited = useMemo((): Entry[] => {
    if (!read.ok) return [];
    const { sheet, rows, problems } = read;
    const fit = fitter.fit(sheet);
    const units = sheetUnits(draft);
    return [...(fit.ok ? [] : fit.problems), ...auditSheet(sheet, units)].map((finding) => {
      const repair = problems.length > 0 ? null : proposedRepair(finding, sheet, units);
      return {
        finding,
        place: finding.place === undefined ? undefined : draftPlace(finding.place, rows),
        repair,
      };
    });
  }, [draft, read, fitter]);
  const mend = ({ place, off, expected }: SuspiciousPoint) => {
    if (!read.ok || off === null || expected === null) return;
    const at = draftPlace(place, read.rows);
    if (at.part !== 'speed-line' || at.point === undefined) return;
    const { line, point } = at;
    const text = plainNumber(expected[off.of], 5);
    edit(
      (d) =>
        withLine(d, line, (old) => {
          const cells = old.points[point];
          return cells === undefined ? old : { ...old, points: old.points.with(point, { ...cells, [off.of]: text }) };
        }),
      'mend point',
      `mend.${Date.now()}`,
    );
  };
  return (
    <div className={mapStyles.panel}>
      <Audit
        entries={[...read.problems.map((finding) => ({ finding, place: finding.place })), ...audited]}
        onShow={onShow}
        onRepair={(repair) =>
          read.ok && edit((d) => applySheet(d, read.sheet, repair.apply(read.sheet)), 'repair', `repair.${Date.now()}`)
        }
      />
      <QualityPanel
        quality={quality}
        flowUnit={sheetFlowUnits[draft.flowUnit].label}
        onShow={(point) => read.ok && onShow(draftPlace(point.place, read.rows))}
        onMend={mend}
      />
    </div>
  );
}

/** What is doubtful with the reading of a turbine sheet, each with its place on the picture, and what is known of the reading. */
export function TurbineCheckPanel({
  draft,
  fit,
  onShow,
}: {
  draft: MapDraft;
  fit: TurbineDraftFit;
  onShow: (place: SheetPlace) => void;
}) {
  return (
    <div className={mapStyles.panel}>
      <Audit entries={fit.findings.map((finding) => ({ finding, place: finding.place }))} onShow={onShow} />
      <section aria-label="Quality of the reading" className={styles.card}>
        <h3>Quality of the reading</h3>
        <Known draft={draft} fit={fit} />
      </section>
    </div>
  );
}

/** Findings that lead to their places on the picture, with what can be done about each. */
function Audit({
  entries,
  onShow,
  onRepair,
}: {
  entries: readonly Entry[];
  onShow: (place: SheetPlace) => void;
  onRepair?: (repair: ProposedRepair) => void;
}) {
  return (
    <section className={styles.card} aria-label="Audit of the sheet">
      <h3>
        Audit <span className={mapStyles.auditCount}>{countWords(entries.map(({ finding }) => finding))}</span>
      </h3>
      <ul className={styles.findings}>
        {entries.map(({ finding: { severity, code, message }, place, repair }) => (
          <FindingLine key={`${code} ${message}`} {...{ severity, message }} onPress={place && (() => onShow(place))}>
            {repair && <Button onPress={() => onRepair?.(repair)}>{repair.description}</Button>}
          </FindingLine>
        ))}
      </ul>
    </section>
  );
}

function Known({ draft, fit }: { draft: MapDraft; fit: TurbineDraftFit }) {
  const quality = turbineQuality(fit);
  const hash = useMemo(() => turbineView.hash(draft), [draft]);
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
              note="of a nozzle of the same flow capacity"
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
