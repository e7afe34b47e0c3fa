import { memo, type RefObject } from 'react';
import { type Candidate, changeSettings, type Settings } from '../../../build/index.ts';
import type { MapPlotActions, MapPlotModel } from '../../../plot/index.ts';
import { useApply, useSettings } from '../../../store/index.ts';
import { sheetFlowUnits } from '../../../units/index.ts';
import { Button } from '../../../widgets/index.ts';
import { isEstimated, mapTitle } from '../../shared/estimateWords.ts';
import { ToolSelect } from '../../shared/ToolSelect.tsx';
import styles from '../match.module.css';
import { EstimateTag } from './EstimateTag.tsx';
import { SaveMap } from './SaveMap.tsx';

interface Props {
  candidate: Candidate;
  /** The model drawn last; a reference, since it changes with every keystroke and these tools do not. */
  model: RefObject<MapPlotModel | null>;
  hasMap: boolean;
  plot: RefObject<MapPlotActions | null>;
}

/** How the map is shown, and the map as a file. */
export const MapTools = memo(function MapTools({ candidate, model, hasMap, plot }: Props) {
  const map = candidate.map ?? candidate.donor;
  return (
    <div className={styles.tools}>
      <h2 className={styles.barTitle} title={map?.source}>
        {mapTitle(candidate) || 'Map'}
      </h2>
      {isEstimated(candidate) && <EstimateTag />}
      {map?.invented && !/invented/i.test(map.name) && <span className={styles.invented}>invented</span>}
      <span className={styles.spring} />
      <AltitudeChoice />
      <SpeedLabelChoice />
      <FlowUnitChoice />
      <Button isDisabled={!hasMap} label="Show the whole map" onPress={() => plot.current?.resetZoom()}>
        Whole map
      </Button>
      <SaveMap candidates={[candidate]} model={model} hasMap={hasMap} />
    </div>
  );
});

const ALTITUDES = [
  { key: 'today', name: 'This place' },
  { key: 'others', name: 'Other altitudes' },
] as const;

function AltitudeChoice() {
  const apply = useApply();
  const { otherAltitudes } = useSettings();
  return (
    <ToolSelect
      name="Operating lines on the map"
      value={otherAltitudes ? 'others' : 'today'}
      options={ALTITUDES}
      onChange={(key) => apply(changeSettings({ otherAltitudes: key === 'others' }))}
    />
  );
}

const LABELS: readonly { key: Settings['speedLabels']; name: string }[] = [
  { key: 'physical', name: 'Shaft rpm today' },
  { key: 'corrected', name: 'Corrected rpm' },
];

function SpeedLabelChoice() {
  const apply = useApply();
  const { speedLabels } = useSettings();
  return (
    <ToolSelect
      name="Speed lines are labelled in"
      value={speedLabels}
      options={LABELS}
      onChange={(key) => apply(changeSettings({ speedLabels: key }))}
    />
  );
}

function FlowUnitChoice() {
  const apply = useApply();
  const { flowAxisUnit } = useSettings();
  return (
    <ToolSelect
      name="Unit of the flow axis"
      value={flowAxisUnit}
      options={FLOW_UNITS}
      onChange={(key) => apply(changeSettings({ flowAxisUnit: key }))}
    />
  );
}

const FLOW_UNITS = Object.values(sheetFlowUnits).map(({ key, label }) => ({ key, name: label }));
