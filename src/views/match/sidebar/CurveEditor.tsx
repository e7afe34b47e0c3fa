import { Suspense, useMemo, useState } from 'react';
import type { CurvePath } from '../../../build/index.ts';
import { CurveChart } from '../../../plot/index.ts';
import { Button } from '../../../widgets/index.ts';
import { useCurve } from '../../shared/Field.tsx';
import { CurveTable, KnownVeDialog } from '../lateParts.ts';
import { addedRow, curveChartModel, draggedRows } from '../model/typedCurveChart.ts';
import styles from './sidebar.module.css';

/** A curve over engine speed: the same points as a small chart to drag and as a table to type and paste into. */
export function CurveEditor({ path }: { path: CurvePath }) {
  return (
    <div className="one-column ui-grid gap-s narrow">
      <TypedCurveChart path={path} />
      <Suspense fallback={null}>
        <CurveTable path={path} />
      </Suspense>
    </div>
  );
}

/** A curve to drag. */
export function TypedCurveChart({ path }: { path: CurvePath }) {
  const { curve, field, setRows } = useCurve(path);
  const model = useMemo(() => curveChartModel(curve, field.label, field), [curve, field]);
  return (
    <div className={styles.chart}>
      <CurveChart
        model={model}
        label={`${field.label} over engine speed`}
        handlers={{
          onDrag: (index, point) => setRows(draggedRows(curve, model, index, point)),
          onAdd: (point, index) => setRows(addedRow(curve, model, index, point)),
          onRemove: (index) => setRows(curve.rows.filter((_, row) => row !== model.rowOf[index])),
        }}
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
  const [isKnownOpen, setKnownOpen] = useState(false);
  const [path, setPath] = useState<(typeof CURVES)[number]['path']>('engine.volumetricEfficiency');
  return (
    <div className="above-m">
      <fieldset className={styles.curveTabs} aria-label="Curve over engine speed">
        {CURVES.map((curve) => (
          <button key={curve.path} type="button" aria-pressed={curve.path === path} onClick={() => setPath(curve.path)}>
            {curve.name}
          </button>
        ))}
      </fieldset>
      <CurveEditor key={path} path={path} />
      {path === 'engine.volumetricEfficiency' && (
        <Button variant="quiet" className={styles.known} onPress={() => setKnownOpen(true)}>
          From a dynamometer run or air-mass sensor …
        </Button>
      )}
      <Suspense fallback={null}>{isKnownOpen && <KnownVeDialog onClose={() => setKnownOpen(false)} />}</Suspense>
    </div>
  );
}
