import type { ReactNode } from 'react';
import type { SheetModel } from '../model/sheetModel.ts';
import { CalibrationTables } from './CalibrationTables.tsx';
import { CandidateFindings } from './CandidateFindings.tsx';
import { Closing } from './Closing.tsx';
import { Differences } from './Differences.tsx';
import { Facts } from './Facts.tsx';
import { Fitment } from './Fitment.tsx';
import { Limits } from './Limits.tsx';
import { MapFigures } from './MapFigures.tsx';
import { PointsTable } from './PointsTable.tsx';
import styles from './paper.module.css';
import { Remarks } from './Remarks.tsx';
import { Sources } from './Sources.tsx';
import { TitleBlock } from './TitleBlock.tsx';
import { Wheels } from './Wheels.tsx';

/** A piece of the sheet that is never split between pages. */
export interface Band {
  key: string;
  node: ReactNode;
}

/** The key of the band that may grow into the room that its page has left. */
export const GROWING = 'maps';

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
    { key: 'limits', node: <Limits rows={model.limits} candidates={model.candidates} /> },
    ...model.points.map((points) => ({
      key: `points-${points.letter}`,
      node: <PointsTable points={points} />,
    })),
    ...calibrationBands(model),
    ...(model.differences === null ? [] : [{ key: 'differences', node: <DifferencesAndWheels model={model} /> }]),
    { key: 'parts', node: <WheelsAndFitment model={model} /> },
    ...(model.remarks.length === 0 ? [] : [{ key: 'remarks', node: <Remarks remarks={model.remarks} /> }]),
    { key: 'sources', node: <Sources sources={model.sources} notes={model.notes} /> },
    { key: 'closing', node: <Closing head={model.head} /> },
  ];
}

function calibrationBands({ calibration }: SheetModel): Band[] {
  if (calibration.state !== 'ready') {
    return [{ key: 'calibration', node: <CalibrationTables calibration={calibration} tables={[]} isFirst isLast /> }];
  }
  const across = calibration.tables.some(({ matrix }) => matrix.columns.length > 9) ? 1 : 2;
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

/** With two candidates: what is better and worse, beside the wheels. */
function DifferencesAndWheels({ model }: { model: SheetModel }) {
  return (
    <div className={styles.halves} data-uneven>
      <Differences rows={model.differences ?? []} candidates={model.candidates} />
      <Wheels wheels={model.wheels} />
    </div>
  );
}

function WheelsAndFitment({ model }: { model: SheetModel }) {
  if (model.differences !== null) return <Fitment items={model.fitment} isWide />;
  return (
    <div className={styles.halves}>
      <Wheels wheels={model.wheels} />
      <Fitment items={model.fitment} />
    </div>
  );
}
