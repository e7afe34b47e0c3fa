import { useMemo, useState } from 'react';
import {
  type CurveField,
  type CurvePath,
  fieldAt,
  setBuildField,
  setCurve,
  type TypedCurve,
} from '../../../build/index.ts';
import { CurveChart } from '../../../plot/index.ts';
import { useApply, useBuildField } from '../../../store/index.ts';
import { unitOf, unitsOf } from '../../../units/index.ts';
import { CellGrid, SelectField } from '../../../widgets/index.ts';
import { usePalette } from '../../shared/display.ts';
import {
  addedRow,
  curveChartModel,
  curveMarks,
  draggedRows,
  withCells,
  withCurveUnit,
  withoutRows,
  withPasted,
  withRowInserted,
} from '../model/typedCurve.ts';
import styles from './sidebar.module.css';

/** A curve over engine speed: the same points as a small chart to drag and as a table to type and paste into. */
export function CurveEditor({ path }: { path: CurvePath }) {
  const curve = useBuildField(path);
  const apply = useApply();
  const palette = usePalette();
  const field: CurveField = fieldAt(path);
  const { quantity, label: title } = field;
  const unit = unitOf(quantity, curve.unit);
  const model = useMemo(() => curveChartModel(curve, title, field), [curve, title, field]);
  const cells = useMemo(() => curve.rows.map((row) => [row.engineSpeed, row.value]), [curve.rows]);
  const marks = useMemo(() => curveMarks(curve, field), [curve, field]);
  const columns = useMemo(
    () => [
      { key: 'engine-speed', header: 'Engine speed', unit: 'rpm' },
      { key: 'value', header: title, unit: unit.label },
    ],
    [title, unit.label],
  );
  const setRows = (rows: TypedCurve['rows']) => apply(setCurve(path, rows));
  return (
    <div className={styles.curve}>
      <div className={styles.chart}>
        <CurveChart
          model={model}
          palette={palette}
          label={`${title} over engine speed`}
          handlers={{
            onDrag: (index, point) => setRows(draggedRows(curve, model, index, point)),
            onAdd: (point, index) => setRows(addedRow(curve, model, index, point)),
            onRemove: (index) => setRows(curve.rows.filter((_, row) => row !== model.rowOf[index])),
          }}
        />
      </div>
      {unitsOf(quantity).length > 1 && (
        <SelectField
          label="Unit of the values"
          value={curve.unit}
          options={unitsOf(quantity).map(({ key, label, name }) => ({ key, name: label || name }))}
          onChange={(key) => apply(setBuildField(path, withCurveUnit(curve, quantity, key)))}
        />
      )}
      <CellGrid
        label={`${title}, points`}
        columns={columns}
        rows={cells}
        marks={marks}
        maxHeight="190px"
        onEdit={(row, column, text) => setRows(withCells(curve.rows, row, column, [[text]]))}
        onPaste={(row, column, matrix) => apply(setBuildField(path, withPasted(curve, quantity, row, column, matrix)))}
        onInsertRow={(at) => setRows(withRowInserted(curve.rows, at))}
        onDeleteRows={(first, count) => setRows(withoutRows(curve.rows, first, count))}
      />
    </div>
  );
}

const CURVES = [
  { path: 'engine.volumetricEfficiency', name: 'Vol. efficiency' },
  { path: 'engine.lambda', name: 'Lambda' },
  { path: 'engine.bsfc', name: 'bsfc' },
] as const;

/** The three curves of the engine, one at a time: table and chart need the room. */
export function EngineCurves() {
  const [path, setPath] = useState<(typeof CURVES)[number]['path']>('engine.volumetricEfficiency');
  return (
    <div className={styles.curves}>
      <fieldset className={styles.curveTabs} aria-label="Curve over engine speed">
        {CURVES.map((curve) => (
          <button key={curve.path} type="button" aria-pressed={curve.path === path} onClick={() => setPath(curve.path)}>
            {curve.name}
          </button>
        ))}
      </fieldset>
      <CurveEditor key={path} path={path} />
    </div>
  );
}
