import { memo, useMemo } from 'react';
import { candidateTurbine } from '../../../../build/index.ts';
import type { OperatingPoint } from '../../../../match/index.ts';
import { useActions, useBuild } from '../../../../store/index.ts';
import { formatNumber, NO_BREAK_SPACE } from '../../../../units/index.ts';
import { Button, DataTable } from '../../../../widgets/index.ts';
import { useResultUnits } from '../../../shared/display.ts';
import { BackPressurePanel } from './BackPressurePanel.tsx';
import { TurbinePanel } from './TurbinePanel.tsx';
import styles from './turbine.module.css';
import { type TurbineSide, turbineCells, turbineReadings } from './turbineSide.ts';

/** One candidate of the section with its point at the engine speed that is looked at, which may lie between the computed ones. */
interface SectionSide extends TurbineSide {
  point: OperatingPoint | null;
}

interface Props {
  first: SectionSide;
  /** The candidate that the first is compared with. */
  second: SectionSide | null;
  engineSpeedRpm: number | null;
  onHoverSpeed: (engineSpeedRpm: number | null) => void;
  onChooseSpeed: (engineSpeedRpm: number) => void;
}

/** What the exhaust can drive: the engine on the turbine's capacity, and the pressure that it takes. */
export const TurbineSection = memo(function TurbineSection(props: Props) {
  const { first, second, engineSpeedRpm, onHoverSpeed, onChooseSpeed } = props;
  const all = second === null ? [first] : [first, second];
  const driven = all.filter(({ results }) => results.input?.turbine !== undefined);
  const sides = useKept(driven);
  const pointing = { engineSpeedRpm, onHoverSpeed, onChooseSpeed };
  return (
    <section className={styles.section} aria-label="Turbine">
      {all.map((side) => (driven.includes(side) ? null : <NoTurbine key={side.letter} side={side} />))}
      {sides.length > 0 && (
        <>
          <TurbineReadOut sides={driven} engineSpeedRpm={engineSpeedRpm} />
          <div className={styles.panels}>
            <TurbinePanel sides={sides} {...pointing} />
            <BackPressurePanel sides={sides} {...pointing} />
          </div>
        </>
      )}
    </section>
  );
});

/** The sides as the same list while what is drawn of them is the same: pointing elsewhere draws no chart again. */
function useKept(sides: readonly SectionSide[]): readonly TurbineSide[] {
  const [a, b] = sides;
  const first = useKeptSide(a);
  const second = useKeptSide(b);
  return useMemo(() => [first, second].filter((side) => side !== null), [first, second]);
}

function useKeptSide(side: SectionSide | undefined): TurbineSide | null {
  const { index = 0, letter = '', style = 'a', results = null, line = null } = side ?? {};
  return useMemo(
    () => (results === null ? null : { index, letter, style, results, line }),
    [index, letter, style, results, line],
  );
}

/** In place of the charts: that nothing is known of the turbine, or what is missing, and the way to mend it. */
function NoTurbine({ side: { index, letter, results } }: { side: SectionSide }) {
  const { setUi } = useActions();
  const problem = candidateTurbine(useBuild(), index)?.problems[0]?.message;
  return (
    <p className={styles.none}>
      <span>
        No turbine data for {letter}:{' '}
        {problem ?? 'whether its exhaust can drive this boost, and at what back-pressure, is not known.'}
      </span>
      <Button onPress={() => setUi({ openCardId: results.candidate.id })}>Open the card of {letter}</Button>
    </p>
  );
}

/** What the turbine does at the engine speed that all charts point at. */
function TurbineReadOut({ sides, engineSpeedRpm }: { sides: readonly SectionSide[]; engineSpeedRpm: number | null }) {
  const units = useResultUnits();
  const at = engineSpeedRpm === null ? 'Point at a chart' : `At ${formatNumber(engineSpeedRpm, 0)}${NO_BREAK_SPACE}rpm`;
  const cells = turbineCells(units);
  return (
    <DataTable
      className={styles.readOut}
      label="Turbine at this engine speed"
      head={[
        <th key="at" scope="col" className={styles.at}>
          {at}
        </th>,
        ...cells.map(({ key, title }) => (
          <th key={key} scope="col" data-cell={key}>
            {title}
          </th>
        )),
      ]}
      rows={sides.map(({ letter, point }) => {
        const texts = turbineReadings(point, units);
        const cell = (key: (typeof cells)[number]['key']) => (
          <td key={key} data-cell={key} title={key === 'held' ? texts[key] : undefined}>
            {texts[key]}
          </td>
        );
        return { key: letter, name: letter, cells: cells.map(({ key }) => cell(key)) };
      })}
    />
  );
}
