import { useMemo } from 'react';
import { draftPlace, draftToSheet, type MapDraft } from '../../../../build/index.ts';
import type { SheetPlace } from '../../../../compressor/index.ts';
import type { SuspiciousPoint } from '../../../../compressor/reading/index.ts';
import { useLugline } from '../../../../store/index.ts';
import { plainNumber, sheetFlowUnits } from '../../../../units/index.ts';
import { Button } from '../../../../widgets/index.ts';
import mapStyles from '../../maps.module.css';
import { withLine } from '../../model/editDraft.ts';
import { countWords } from '../../model/findingList.ts';
import type { MapEdit } from '../../useMapEdit.ts';
import { applySheet } from '../model/applySheet.ts';
import { reading } from '../reading.ts';
import styles from '../trace.module.css';
import type { Quality } from '../useQuality.ts';
import { CheckEntry } from './CheckEntry.tsx';
import { QualityPanel } from './QualityPanel.tsx';

export interface CheckPanelProps {
  draft: MapDraft;
  edit: MapEdit;
  quality: Quality;
  /** Brings a place of the tables into sight on the picture. */
  onShow: (place: SheetPlace) => void;
}

/** What is doubtful with the reading, each with its place on the picture and a repair where one is clear, and how good it is. */
export function CheckPanel({ draft, edit, quality, onShow }: CheckPanelProps) {
  const fitter = useLugline((state) => state.fitter);
  const read = useMemo(() => draftToSheet(draft), [draft]);
  const findings = useMemo(() => {
    if (!read.ok) return [];
    const fit = fitter.fit(read.sheet);
    return [...(fit.ok ? [] : fit.problems), ...fitter.audit(read.sheet)];
  }, [read, fitter]);
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
      <section className={styles.card} aria-label="Audit of the sheet">
        <h3>
          Audit <span className={mapStyles.auditCount}>{countWords([...read.problems, ...findings])}</span>
        </h3>
        <ul className={styles.findings}>
          {read.problems.map((finding) => (
            <CheckEntry key={`${finding.message}`} finding={finding} place={finding.place} onShow={onShow} />
          ))}
          {read.ok &&
            findings.map((finding) => {
              const repair = read.problems.length > 0 ? null : reading.proposedRepair(finding, read.sheet);
              const place = finding.place === undefined ? undefined : draftPlace(finding.place, read.rows);
              return (
                <CheckEntry key={`${finding.code} ${finding.message}`} finding={finding} place={place} onShow={onShow}>
                  {repair !== null && (
                    <Button
                      onPress={() =>
                        edit(
                          (d) => applySheet(d, read.sheet, repair.apply(read.sheet)),
                          'repair',
                          `repair.${Date.now()}`,
                        )
                      }
                    >
                      {repair.description}
                    </Button>
                  )}
                </CheckEntry>
              );
            })}
        </ul>
      </section>
      <QualityPanel
        quality={quality}
        flowUnit={sheetFlowUnits[draft.flowUnit].label}
        onShow={(point) => read.ok && onShow(draftPlace(point.place, read.rows))}
        onMend={mend}
      />
    </div>
  );
}
