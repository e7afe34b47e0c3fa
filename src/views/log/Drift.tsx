import { type LogRecord, logsOf } from '../../build/index.ts';
import { showResult } from '../../match/index.ts';
import type { LogDrift } from '../../match/types.ts';
import { type LogStudy, useBuild, useLugline, useLuglineStore } from '../../store/index.ts';
import { formatNumber, NO_NUMBER } from '../../units/index.ts';
import { DataTable } from '../../widgets/index.ts';
import { useResultUnits } from '../shared/display.ts';
import { ToolSelect } from '../shared/ToolBar.tsx';
import { LogPart } from './LogColumns.tsx';
import styles from './log.module.css';

const signed = (share: number) => `${share < 0 ? '−' : '+'}${formatNumber(100 * Math.abs(share), 1)}`;
const withBand = (value: number | null, deviation: number | null) =>
  value === null || deviation === null ? NO_NUMBER : `${signed(value)} ±${formatNumber(200 * deviation, 1)} %`;

/** What has changed since another log of the same build: each held against the match in its own air, so that days and altitudes compare. */
export function Drift({ record, study }: { record: LogRecord; study: LogStudy }) {
  const build = useBuild();
  const chosen = useLugline(({ ui }) => ui.driftLogId);
  const store = useLuglineStore();
  const units = useResultUnits();
  const others = logsOf(build).filter(({ id, candidateId }) => id !== record.id && candidateId === record.candidateId);
  if (others.length === 0) return null;
  const { drift } = study;
  const isRead = drift !== null && drift.record.id === chosen;
  return (
    <LogPart
      part="drift"
      title="Against another log of this car"
      summary={isRead ? driftWords(drift.points) : 'what has changed since'}
    >
      <div className={styles.window}>
        <ToolSelect
          name="The log that this one is held against"
          value={others.some(({ id }) => id === chosen) ? (chosen ?? '') : ''}
          options={[
            { key: '', name: 'Choose a log' },
            ...others.map(({ id, name, addedAt }) => ({ key: id, name: `${name}, opened ${addedAt.slice(0, 10)}` })),
          ]}
          onChange={(id) => store.getState().setUi({ driftLogId: id === '' ? null : id })}
        />
        {chosen !== null && !isRead && <span role="status">Reading it …</span>}
      </div>
      {isRead && (
        <>
          <p className={styles.cautions}>
            {driftWords(drift.points)} Its air: {showResult(drift.ambient.pressurePa, 'absolute-pressure', units)},{' '}
            {showResult(drift.ambient.temperatureK, 'temperature', units)}; of this log:{' '}
            {showResult(study.result?.ambient.pressurePa, 'absolute-pressure', units)},{' '}
            {showResult(study.result?.ambient.temperatureK, 'temperature', units)}. Each is held against the match at
            its own pressure ratio and air. The bands are two standard deviations.
          </p>
          <div className={styles.scroll}>
            <DataTable
              className={`${styles.table} ${styles.rows}`}
              label="Change since the other log"
              head={['Engine speed', 'Shaft speed at the same point', 'Vol. efficiency', 'Changed']}
              rows={drift.points.map((point) => ({
                key: point.engineSpeedRpm,
                name: showResult(point.engineSpeedRpm, 'engine-speed', units),
                cells: [
                  withBand(point.shaftSpeed, point.shaftSpeedDeviation),
                  withBand(point.volumetricEfficiency, point.volumetricEfficiencyDeviation),
                  point.drifted ? 'yes' : 'no',
                ],
              }))}
            />
          </div>
        </>
      )}
    </LogPart>
  );
}

/** In one sentence. */
function driftWords(points: readonly LogDrift[]): string {
  const drifted = points.filter((point) => point.drifted);
  if (points.length === 0) return 'At no engine speed do both logs have a shaft speed.';
  if (drifted.length === 0)
    return `Nothing has changed by more than the bands at ${points.length === 1 ? 'the one engine speed' : `the ${points.length} engine speeds`} that both logs cover.`;
  const speeds = drifted.map(({ engineSpeedRpm }) => formatNumber(engineSpeedRpm, 0)).join(', ');
  return `The car has changed at ${speeds} rpm by more than the bands: look for a leak, a filter, a cooler or a sensor.`;
}
