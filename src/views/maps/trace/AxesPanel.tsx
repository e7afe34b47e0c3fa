import { useCallback, useMemo, useRef, useState } from 'react';
import { type AxisPoint, isTurbineSheet, type MapDraft } from '../../../build/index.ts';
import type { PicturePlace } from '../../../reading/index.ts';
import { formatNumber, sheetFlowUnits } from '../../../units/index.ts';
import { Button, ChoiceRow, SelectField, SwitchField } from '../../../widgets/index.ts';
import mapStyles from '../maps.module.css';
import { flowUnitLabel, sheetWords } from '../model/sheetWords.ts';
import { setTurbineFlow, turbineFlowOf, turbineFlows } from '../model/turbineFlow.ts';
import { type PointColumn, PointGrid } from '../tables/PointGrid.tsx';
import type { MapEdit } from '../useMapEdit.ts';
import { type AxesReading, axisPlace, pointName, shortName, tracingOf } from './axes.ts';
import { addAxisPoint, placeAxisPoint, setAxisPoints, setMode } from './setPicture.ts';
import type { StageEvents } from './stage/stageView.ts';
import styles from './trace.module.css';

type GoTo = { row: number; key: 'flow' | 'pressureRatio' } | null;

/** Placing axis points: a click places the active one, and the keyboard goes to its value. */
export interface AxisClicks {
  /** Row that the next click places. */
  active: number;
  setActive(row: number | null): void;
  /** Cell that the keyboard is to go to. */
  goTo: GoTo;
  arrived(): void;
  events: StageEvents;
}

export function useAxisClicks(draft: MapDraft, edit: MapEdit): AxisClicks {
  const { points } = tracingOf(draft).axes;
  const [wanted, setActive] = useState<number | null>(null);
  const [goTo, setGoTo] = useState<GoTo>(null);
  const firstOpen = points.findIndex((point) => point.x === '' || point.y === '');
  const active = wanted !== null && points[wanted] !== undefined ? wanted : Math.max(0, firstOpen);
  const isRatioFirst = isTurbineSheet(draft);
  const newest = useRef({ points, active, firstOpen, isRatioFirst });
  newest.current = { points, active, firstOpen, isRatioFirst };
  const events = useMemo<StageEvents>(() => {
    const place = (at: PicturePlace, row: number) => {
      const { points: now } = newest.current;
      const change = (d: MapDraft) => placeAxisPoint(row === now.length ? addAxisPoint(d) : d, row, at);
      edit(change, 'place axis point', `axes.place.${Date.now()}`);
      setActive(row);
      const on = now[row]?.on ?? 'grid';
      // A grid point has both values: the keyboard goes to the column that comes first.
      const isRatio = on === 'ratio-axis' || (on === 'grid' && newest.current.isRatioFirst);
      setGoTo({ row, key: isRatio ? 'pressureRatio' : 'flow' });
    };
    const isOpen = (row: number) => newest.current.points[row]?.x === '' || newest.current.points[row]?.y === '';
    return {
      onPlace: (at) => {
        const { points: now, active: chosen, firstOpen: open } = newest.current;
        // A chosen point that stands already is moved by dragging; a click goes on with the next that is not placed.
        place(at, isOpen(chosen) ? chosen : open >= 0 ? open : now.length);
      },
      onSelect: (id, by) => {
        const { points: now, active: chosen } = newest.current;
        const clicked = now[Number(id)];
        const at = clicked === undefined ? null : axisPlace(clicked);
        // Both axes may begin in the same corner.
        if (by === 'click' && at !== null && isOpen(chosen)) place(at, chosen);
        else setActive(Number(id));
      },
      onMove: (id, place) => edit((d) => placeAxisPoint(d, Number(id), place), 'move axis point', `axes.move.${id}`),
      onRemove: (id) => {
        edit(
          (d) => setAxisPoints(d, tracingOf(d).axes.points.toSpliced(Number(id), 1)),
          'delete axis point',
          `axes.delete.${Date.now()}`,
        );
        setActive(null);
      },
      onStep: (by) => {
        const { points: now, active: chosen } = newest.current;
        if (now.length > 0) setActive((chosen + by + now.length) % now.length);
      },
      onDismiss: () => setActive(null),
    };
  }, [edit]);
  const arrived = useCallback(() => setGoTo(null), []);
  return { active, setActive, goTo, arrived, events };
}

const MODES = [
  { key: 'axes', name: 'Straight scan' },
  { key: 'grid', name: 'Photo' },
] as const;
const FLOW_UNITS = (['kg/s', 'lb/min', 'm3/s', 'cfm'] as const).map((key) => ({
  key,
  name: sheetFlowUnits[key].label,
}));

export interface AxesPanelProps {
  draft: MapDraft;
  edit: MapEdit;
  axes: AxesReading;
  /** Row that the next click places. */
  active: number;
  onActive: (row: number) => void;
  goTo: { row: number; key: 'flow' | 'pressureRatio' } | null;
  onArrived: () => void;
  grid: { isShown: boolean; show: (isShown: boolean) => void };
  onReference: () => void;
}

/** Places of known value: by clicking and in the table, with the calibration's own error. */
export function AxesPanel({ draft, edit, axes, active, onActive, goTo, onArrived, grid, onReference }: AxesPanelProps) {
  const { mode, points } = tracingOf(draft).axes;
  const isTurbine = isTurbineSheet(draft);
  const sheet = isTurbine ? 'turbine' : 'compressor';
  // That of a flow parameter is too long for the heading; it stands right above, where it is chosen.
  const unit = draft.flowParameter === undefined ? flowUnitLabel(draft) : undefined;
  const columns = useMemo(() => axisColumns(isTurbine, unit), [isTurbine, unit]);
  return (
    <div className={mapStyles.panel}>
      <FlowPrinted draft={draft} edit={edit} />
      {draft.flowParameter === undefined && <ReferenceLine draft={draft} onReference={onReference} />}
      <ChoiceRow
        label="The picture is a"
        value={mode}
        options={MODES}
        onChange={(next) => edit((d) => setMode(d, next), 'change kind of picture', 'axes-mode')}
      />
      <p className={mapStyles.lead}>
        {mode === 'axes'
          ? 'Two points on each axis with their printed values, far apart. Points where two grid lines cross show how well it fits.'
          : 'Four corners of the printed grid with both values, far apart: this corrects perspective. More crossings show how well it fits.'}
      </p>
      <p className={styles.next} role="status">
        {nextWords(draft, axes, active)}
      </p>
      <PointGrid
        label="Points of known value"
        columns={columns}
        rows={points}
        rowNames={points.map((_, row) => shortName({ mode, points }, row, sheet))}
        onRows={(rows, key) =>
          edit((d) => setAxisPoints(d, rows as readonly AxisPoint[]), 'edit axis points', `axes.${key}`)
        }
        marks={[]}
        goTo={goTo}
        onArrived={onArrived}
        onRow={(row) => row !== null && onActive(row)}
        isTurbine={isTurbine}
      />
      <div className={mapStyles.panelTools}>
        <Button
          icon="plus"
          onPress={() => {
            edit(addAxisPoint, 'add grid point', 'axes.add');
            onActive(points.length);
          }}
        >
          Grid point
        </Button>
      </div>
      <SwitchField
        label="Check grid over the picture"
        value={grid.isShown}
        onChange={grid.show}
        isDisabled={axes.calibration === null}
      />
      <Fit draft={draft} axes={axes} />
    </div>
  );
}

type AxisColumn = PointColumn<'flow' | 'pressureRatio' | 'x' | 'y'>;

/** The axis that runs across first. */
function axisColumns(isTurbine: boolean, unit: string | undefined): readonly AxisColumn[] {
  const flow: AxisColumn = { key: 'flow', header: 'Flow', unit, role: 'flow' };
  const ratio: AxisColumn = {
    key: 'pressureRatio',
    header: isTurbine ? 'Expansion ratio' : 'Pressure ratio',
    role: 'ratio',
  };
  return [
    ...(isTurbine ? [ratio, flow] : [flow, ratio]),
    { key: 'x', header: 'Right', unit: 'px', role: 'ignored' },
    { key: 'y', header: 'Down', unit: 'px', role: 'ignored' },
  ];
}

/** What the printed flow is. */
function FlowPrinted({ draft, edit }: { draft: MapDraft; edit: MapEdit }) {
  if (isTurbineSheet(draft)) {
    return (
      <SelectField
        label="Flow is printed in"
        value={turbineFlowOf(draft) ?? 'kg/s'}
        options={turbineFlows}
        onChange={(flow) => edit((d) => setTurbineFlow(d, flow), 'change flow meaning', 'flow-meaning')}
      />
    );
  }
  return (
    <ChoiceRow
      label="Flow is printed in"
      value={draft.flowUnit}
      options={FLOW_UNITS}
      onChange={(flowUnit) => edit((d) => ({ ...d, flowUnit }), 'change flow unit', 'flow-unit')}
    />
  );
}

function ReferenceLine({ draft, onReference }: Pick<AxesPanelProps, 'draft' | 'onReference'>) {
  const { temperature, pressure } = draft.reference;
  const hasReference = temperature.text.trim() !== '' && pressure.text.trim() !== '';
  return (
    <div className={styles.reference}>
      <span>
        Reference state:{' '}
        {hasReference
          ? `${temperature.text} ${temperature.unit === 'degC' ? '°C' : temperature.unit}, ${pressure.text} ${pressure.unit}`
          : 'not entered yet'}
      </span>
      <Button variant="quiet" icon="pencil" onPress={onReference} label="Enter the reference state">
        {hasReference ? 'Change' : 'Enter'}
      </Button>
    </div>
  );
}

function nextWords(draft: MapDraft, axes: AxesReading, active: number): string {
  const { axes: typed } = tracingOf(draft);
  const point = typed.points[active];
  if (axes.calibration !== null && axes.problems.length === 0)
    return 'The axes stand. Drag a point to mend it; a click adds a grid point.';
  if (point === undefined) return '';
  const name = pointName(typed, active, isTurbineSheet(draft) ? 'turbine' : 'compressor');
  if (point.x === '' || point.y === '') return `Next: click the place of ${name} on the picture.`;
  return axes.problems[0]?.message ?? '';
}

/** How well the points agree, point by point and over the picture. */
function Fit({ draft, axes: { calibration, rows, problems } }: { draft: MapDraft; axes: AxesReading }) {
  const { axes } = tracingOf(draft);
  const { ratio, ratioShort } = sheetWords(draft);
  const sheet = isTurbineSheet(draft) ? 'turbine' : 'compressor';
  if (calibration === null) {
    return (
      <ul className={styles.notes}>
        {problems.map(({ message }) => (
          <li key={message}>{message}</li>
        ))}
      </ul>
    );
  }
  const { error, residuals, notes } = calibration;
  const percent = (share: number) => `${formatNumber(share * 100, 2)} %`;
  return (
    <section aria-label="How well the axes fit">
      <p className={mapStyles.lead}>
        Expected error: {percent(error.flowShare)} of full scale in flow, {percent(error.ratioShare)} in{' '}
        {ratio.toLowerCase()}
        {error.from === 'placing' ? ', from placing the points alone.' : ', as the extra points show.'}
      </p>
      <table className={styles.residuals}>
        <thead>
          <tr>
            <th scope="col">Point</th>
            <th scope="col">Off, px</th>
            <th scope="col">Off, flow</th>
            <th scope="col">Off, {ratioShort}</th>
          </tr>
        </thead>
        <tbody>
          {residuals.map((residual, i) => (
            <tr key={rows[i]}>
              <th scope="row">{pointName(axes, rows[i] ?? 0, sheet)}</th>
              <td>{formatNumber(residual.leftOutPixels ?? residual.pixels, 2)}</td>
              <td>{residual.flow === null ? '' : formatNumber(residual.flow, 4)}</td>
              <td>{residual.pressureRatio === null ? '' : formatNumber(residual.pressureRatio, 4)}</td>
            </tr>
          ))}
        </tbody>
      </table>
      <ul className={styles.notes}>
        {notes.map(({ message }) => (
          <li key={message}>{message}</li>
        ))}
        {problems.map(({ message }) => (
          <li key={message}>{message}</li>
        ))}
      </ul>
    </section>
  );
}
