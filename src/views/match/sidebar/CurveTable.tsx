import { useMemo } from 'react';
import { type CurvePath, setBuildField } from '../../../build/index.ts';
import { unitOf, unitsOf } from '../../../units/index.ts';
import { CellGrid, SelectField } from '../../../widgets/index.ts';
import { useCurve } from '../../shared/Field.tsx';
import {
  curveMarks,
  upright,
  withCells,
  withCurveUnit,
  withoutRows,
  withPasted,
  withRowInserted,
} from '../model/typedCurve.ts';

/** A curve to type and paste, as long as it is: nothing scrolls in what scrolls already. */
export function CurveTable({ path }: { path: CurvePath }) {
  const { curve, apply, field, setRows } = useCurve(path);
  const { quantity, label: title } = field;
  const unit = unitOf(quantity, curve.unit);
  const cells = useMemo(() => curve.rows.map((row) => [row.engineSpeed, row.value]), [curve.rows]);
  const marks = useMemo(() => curveMarks(curve, field), [curve, field]);
  const columns = useMemo(
    () => [
      { key: 'engine-speed', header: 'Engine speed', unit: 'rpm' },
      { key: 'value', header: title, unit: unit.label },
    ],
    [title, unit.label],
  );
  return (
    <>
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
        arrange={upright}
        onEdit={(row, column, text) => setRows(withCells(curve.rows, row, column, [[text]]))}
        onPaste={(row, column, matrix) => apply(setBuildField(path, withPasted(curve, quantity, row, column, matrix)))}
        onInsertRow={(at) => setRows(withRowInserted(curve.rows, at))}
        onDeleteRows={(first, count) => setRows(withoutRows(curve.rows, first, count))}
      />
    </>
  );
}
