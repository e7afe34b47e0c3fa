import { useCallback, useMemo, useRef, useState } from 'react';
import type { AxisPoint, MapDraft } from '../../../build/index.ts';
import type { PicturePlace } from '../../../reading/index.ts';
import { formatNumber, unitOf } from '../../../units/index.ts';
import { Button, ChoiceRow, DataTable, SwitchField } from '../../../widgets/index.ts';
import type { MapEdit } from '../desk.ts';
import mapStyles from '../maps.module.css';
import { type PointColumn, PointGrid } from '../PointGrid.tsx';
import { viewOf } from '../sheetKinds/kinds.ts';
import { flowUnitLabel } from '../sheetKinds/sheetKind.ts';
import { type AxesReading, axisPlace, pointName, readAxes, sheetKind, shortName, tracingOf } from './axes.ts';
import { addAxisPoint, placeAxisPoint, setAxisPoints, setMode } from './setPicture.ts';
import type { StageEvents } from './stage/stageView.ts';
import styles from './trace.module.css';

const isOpen = (point: AxisPoint | undefined) => point?.x === '' || point?.y === '';

export type AxisClicks = ReturnType<typeof useAxisClicks>;

/** Placing axis points: a click places the active one, and the keyboard goes to its value. */
export function useAxisClicks(draft: MapDraft, edit: MapEdit) {
  const { points } = tracingOf(draft).axes;
  const [wanted, setActive] = useState<number | null>(null);
  /** Cell that the keyboard is to go to. */
  const [goTo, setGoTo] = useState<{ row: number; key: 'flow' | 'pressureRatio' } | null>(null);
  const firstOpen = points.findIndex(isOpen);
  const active = wanted !== null && points[wanted] !== undefined ? wanted : Math.max(0, firstOpen);
  const newest = useRef({ draft, points, active, firstOpen });
  newest.current = { draft, points, active, firstOpen };
  const events = useMemo<StageEvents>(() => {
    const place = (at: PicturePlace, row: number) => {
      const now = newest.current;
      const change = (d: MapDraft) => placeAxisPoint(row === now.points.length ? addAxisPoint(d) : d, row, at);
      edit(change, 'place axis point', `axes.place.${Date.now()}`);
      setActive(row);
      const on = now.points[row]?.on ?? 'grid';
      // A grid point has both values: the keyboard goes to the column that comes first.
      const isRatio = on === 'ratio-axis' || (on === 'grid' && viewOf(now.draft).isRatioFirst);
      setGoTo({ row, key: isRatio ? 'pressureRatio' : 'flow' });
    };
    const isActiveOpen = () => isOpen(newest.current.points[newest.current.active]);
    return {
      onPlace: (at) => {
        const now = newest.current;
        // A chosen point that stands already is moved by dragging; a click goes on with the next that is not placed.
        place(at, isActiveOpen() ? now.active : now.firstOpen >= 0 ? now.firstOpen : now.points.length);
      },
      onSelect: (id, by) => {
        const clicked = newest.current.points[Number(id)];
        const at = clicked === undefined ? null : axisPlace(clicked);
        // Both axes may begin in the same corner.
        if (by === 'click' && at !== null && isActiveOpen()) place(at, newest.current.active);
        else setActive(Number(id));
      },
      onMove: (id, to) => edit((d) => placeAxisPoint(d, Number(id), to), 'move axis point', `axes.move.${id}`),
      onRemove: (id) => {
        const change = (d: MapDraft) => setAxisPoints(d, tracingOf(d).axes.points.toSpliced(Number(id), 1));
        edit(change, 'delete axis point', `axes.delete.${Date.now()}`);
        setActive(null);
      },
      onStep: (by) => {
        const { length } = newest.current.points;
        if (length > 0) setActive((newest.current.active + by + length) % length);
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

/** Places of known value: by clicking and in the table, with the calibration's own error. */
export function AxesPanel({
  draft,
  edit,
  clicks,
  grid,
  onReference,
}: {
  draft: MapDraft;
  edit: MapEdit;
  clicks: AxisClicks;
  grid: { isShown: boolean; show: (isShown: boolean) => void };
  onReference: () => void;
}) {
  const { mode, points } = tracingOf(draft).axes;
  const axes = readAxes(draft);
  const { FlowPrinted, ratio, isRatioFirst, paste } = viewOf(draft);
  // That of a flow parameter is too long for the heading; it stands right above, where it is chosen.
  const unit = draft.flowParameter === undefined ? flowUnitLabel(draft) : undefined;
  const columns = useMemo(() => axisColumns(ratio, isRatioFirst, unit), [ratio, isRatioFirst, unit]);
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
        {nextStep(draft, axes, clicks.active)}
      </p>
      <PointGrid
        label="Points of known value"
        columns={columns}
        rows={points}
        rowNames={points.map((_, row) => shortName({ mode, points }, row, sheetKind(draft)))}
        onRows={(rows, key) =>
          edit((d) => setAxisPoints(d, rows as readonly AxisPoint[]), 'edit axis points', `axes.${key}`)
        }
        marks={[]}
        goTo={clicks.goTo}
        onArrived={clicks.arrived}
        onRow={(row) => row !== null && clicks.setActive(row)}
        form={paste}
      />
      <div className={mapStyles.panelTools}>
        <Button
          icon="plus"
          onPress={() => {
            edit(addAxisPoint, 'add grid point', 'axes.add');
            clicks.setActive(points.length);
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
function axisColumns(name: string, isRatioFirst: boolean, unit: string | undefined): readonly AxisColumn[] {
  const flow: AxisColumn = { key: 'flow', header: 'Flow', unit, role: 'flow' };
  const ratio: AxisColumn = { key: 'pressureRatio', header: name, role: 'ratio' };
  return [
    ...(isRatioFirst ? [ratio, flow] : [flow, ratio]),
    { key: 'x', header: 'Right', unit: 'px', role: 'ignored' },
    { key: 'y', header: 'Down', unit: 'px', role: 'ignored' },
  ];
}

function ReferenceLine({ draft, onReference }: { draft: MapDraft; onReference: () => void }) {
  const { temperature, pressure } = draft.reference;
  const hasReference = temperature.text.trim() !== '' && pressure.text.trim() !== '';
  return (
    <div className="row between gap-m soft">
      <span>
        Reference state:{' '}
        {hasReference
          ? `${temperature.text} ${unitOf('temperature', temperature.unit).label}, ${pressure.text} ${unitOf('pressure-absolute', pressure.unit).label}`
          : 'not entered yet'}
      </span>
      <Button variant="quiet" icon="pencil" onPress={onReference} label="Enter the reference state">
        {hasReference ? 'Change' : 'Enter'}
      </Button>
    </div>
  );
}

function nextStep(draft: MapDraft, axes: AxesReading, active: number): string {
  const { axes: typed } = tracingOf(draft);
  const point = typed.points[active];
  if (axes.calibration !== null && axes.problems.length === 0)
    return 'The axes stand. Drag a point to mend it; a click adds a grid point.';
  if (point === undefined) return '';
  const name = pointName(typed, active, sheetKind(draft));
  if (point.x === '' || point.y === '') return `Next: click the place of ${name} on the picture.`;
  return axes.problems[0]?.message ?? '';
}

/** How well the points agree, point by point and over the picture. */
function Fit({ draft, axes: { calibration, rows, problems } }: { draft: MapDraft; axes: AxesReading }) {
  const { axes } = tracingOf(draft);
  const { ratio, ratioShort } = viewOf(draft);
  const sheet = sheetKind(draft);
  const open = problems.map(({ message }) => <li key={message}>{message}</li>);
  if (calibration === null) return <ul className={styles.notes}>{open}</ul>;
  const { error, residuals, notes } = calibration;
  const percent = (share: number) => `${formatNumber(share * 100, 2)} %`;
  const optional = (value: number | null) => (value === null ? '' : formatNumber(value, 4));
  return (
    <section aria-label="How well the axes fit">
      <p className={mapStyles.lead}>
        Expected error: {percent(error.flowShare)} of full scale in flow, {percent(error.ratioShare)} in{' '}
        {ratio.toLowerCase()}
        {error.from === 'placing' ? ', from placing the points alone.' : ', as the extra points show.'}
      </p>
      <DataTable
        className={styles.residuals}
        head={['Point', 'Off, px', 'Off, flow', `Off, ${ratioShort}`]}
        rows={residuals.map(({ leftOutPixels, pixels, flow, pressureRatio }, i) => ({
          key: rows[i] ?? 0,
          name: pointName(axes, rows[i] ?? 0, sheet),
          cells: [formatNumber(leftOutPixels ?? pixels, 2), optional(flow), optional(pressureRatio)],
        }))}
      />
      <ul className={styles.notes}>
        {notes.map(({ message }) => (
          <li key={message}>{message}</li>
        ))}
        {open}
      </ul>
    </section>
  );
}
