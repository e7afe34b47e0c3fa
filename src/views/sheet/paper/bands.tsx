import type { ReactNode } from 'react';
import type { SheetModel } from '../model/sheetModel.ts';
import { CalibrationTables } from './CalibrationTables.tsx';
import { CandidateFindings, Findings } from './CandidateFindings.tsx';
import { Closing } from './Closing.tsx';
import { Facts } from './Facts.tsx';
import { Fitment } from './Fitment.tsx';
import { MapFigures } from './MapFigures.tsx';
import { Margins } from './Margins.tsx';
import { PointsTable } from './PointsTable.tsx';
import styles from './paper.module.css';
import { Remarks } from './Remarks.tsx';
import { Sources } from './Sources.tsx';
import { TitleBlock } from './TitleBlock.tsx';
import { Turbines } from './Turbines.tsx';
import { Wheels } from './Wheels.tsx';

/** A piece of the sheet that is never split between pages. */
export interface Band {
  key: string;
  node: ReactNode;
  /** May stand before its turn where it fills a page. */
  mayMoveUp?: boolean;
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
    { key: 'margins', node: <MarginsAndFindings model={model} /> },
    ...model.points.map((points) => ({
      key: `points-${points.letter}`,
      node: <PointsTable points={points} />,
    })),
    ...calibrationBands(model),
    ...(model.turbines.length === 0
      ? []
      : [{ key: 'turbine', node: <Turbines blocks={model.turbines} />, mayMoveUp: true }]),
    { key: 'parts', node: <WheelsAndFitment model={model} />, mayMoveUp: true },
    ...(model.remarks.length === 0
      ? []
      : [{ key: 'remarks', node: <Remarks remarks={model.remarks} />, mayMoveUp: true }]),
    { key: 'sources', node: <Sources sources={model.sources} notes={model.notes} />, mayMoveUp: true },
    { key: 'closing', node: <Closing head={model.head} /> },
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
