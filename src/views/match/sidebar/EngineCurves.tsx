import { useState } from 'react';
import { CurveEditor } from './CurveEditor.tsx';
import styles from './sidebar.module.css';

const CURVES = [
  { path: 'engine.volumetricEfficiency', name: 'Vol. efficiency', title: 'Volumetric efficiency' },
  { path: 'engine.lambda', name: 'Lambda', title: 'Lambda' },
  { path: 'engine.bsfc', name: 'bsfc', title: 'Brake specific fuel consumption' },
] as const;

/** The three curves of the engine, one at a time: table and chart need the room. */
export function EngineCurves() {
  const [path, setPath] = useState<(typeof CURVES)[number]['path']>('engine.volumetricEfficiency');
  const chosen = CURVES.find((curve) => curve.path === path) ?? CURVES[0];
  return (
    <div className={styles.curves}>
      <fieldset className={styles.curveTabs} aria-label="Curve over engine speed">
        {CURVES.map((curve) => (
          <button key={curve.path} type="button" aria-pressed={curve.path === path} onClick={() => setPath(curve.path)}>
            {curve.name}
          </button>
        ))}
      </fieldset>
      <CurveEditor key={path} path={path} title={chosen.title} />
    </div>
  );
}
