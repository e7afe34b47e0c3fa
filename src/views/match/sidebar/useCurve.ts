import { type CurveField, type CurvePath, fieldAt, setCurve, type TypedCurve } from '../../../build/index.ts';
import { useApply, useBuildField } from '../../../store/index.ts';

/** A curve of the open build, and how its rows are entered. */
export function useCurve(path: CurvePath) {
  const curve = useBuildField(path);
  const apply = useApply();
  const field: CurveField = fieldAt(path);
  return { curve, apply, field, setRows: (rows: TypedCurve['rows']) => apply(setCurve(path, rows)) };
}
