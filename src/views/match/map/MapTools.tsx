import { type RefObject, useContext, useLayoutEffect, useRef } from 'react';
import { type Candidate, changeSettings, type Settings } from '../../../build/index.ts';
import type { ReferenceState } from '../../../compressor/index.ts';
import { showResult, UNIT_CHOICES, type UnitChoice } from '../../../match/index.ts';
import {
  drawMapLegend,
  exportMapSvg,
  lightPalette,
  type MapPlotController,
  type MapPlotModel,
  PaletteContext,
} from '../../../plot/index.ts';
import { selectActiveBuild, useApply, useLuglineStore, useSettings } from '../../../store/index.ts';
import { sheetFlowUnits, unitOf } from '../../../units/index.ts';
import { Button, SelectField } from '../../../widgets/index.ts';
import { isEstimated, useResultUnits } from '../../shared/display.ts';
import { mapSheetWords, todayWords } from '../../shared/fileNotes.ts';
import { DRAWING_SIZE, fileName, SaveDrawing } from '../../shared/ToolBar.tsx';
import styles from '../match.module.css';

interface Props {
  /** Whose map is drawn; two where one is drawn over the other. */
  candidates: readonly Candidate[];
  /** The model drawn last; a reference, since it changes with every keystroke and these tools do not. */
  drawn: RefObject<MapPlotModel | null>;
  plot: RefObject<MapPlotController | null>;
}

/** How the map is shown, in which units everything is, and the map as a file. */
export function MapTools({ candidates, drawn, plot }: Props) {
  return (
    <div className={styles.tools}>
      <MapChoices />
      <UnitChoices />
      <div className="flex gap-m above-s">
        <Button label="Show the whole map" onPress={() => plot.current?.resetZoom()}>
          Whole map
        </Button>
        <SaveMap candidates={candidates} drawn={drawn} />
      </div>
    </div>
  );
}

const ALTITUDES = [
  { key: 'today', name: 'This place' },
  { key: 'others', name: 'Other altitudes' },
] as const;

const LABELS: readonly { key: Settings['speedLabels']; name: string }[] = [
  { key: 'physical', name: 'Shaft rpm today' },
  { key: 'corrected', name: 'Corrected rpm' },
];

const FLOW_UNITS = Object.values(sheetFlowUnits).map(({ key, label }) => ({ key, name: label }));

function MapChoices() {
  const apply = useApply();
  const { otherAltitudes, speedLabels, flowAxisUnit } = useSettings();
  return (
    <>
      <SelectField
        label="Operating lines on the map"
        value={otherAltitudes ? 'others' : 'today'}
        options={ALTITUDES}
        onChange={(key) => apply(changeSettings({ otherAltitudes: key === 'others' }))}
      />
      <SelectField
        label="Speed lines are labelled in"
        value={speedLabels}
        options={LABELS}
        onChange={(key) => apply(changeSettings({ speedLabels: key }))}
      />
      <SelectField
        label="Unit of the flow axis"
        value={flowAxisUnit}
        options={FLOW_UNITS}
        onChange={(key) => apply(changeSettings({ flowAxisUnit: key }))}
      />
    </>
  );
}

function UnitChoices() {
  const apply = useApply();
  const units = useResultUnits();
  const { resultUnits } = useSettings();
  return Object.entries(UNIT_CHOICES).map(([kind, choice]) => (
    <SelectField
      key={kind}
      label={choice.name}
      value={units[kind as UnitChoice]}
      options={choice.units.map((unit) => ({ key: unit as string, name: unitOf(choice.quantity, unit).label }))}
      onChange={(unit) => apply(changeSettings({ resultUnits: { ...resultUnits, [kind]: unit } }))}
    />
  ));
}

/** The map as a drawing or a picture, with where it comes from and the cautions on it. Always on white paper. */
function SaveMap({ candidates, drawn }: Pick<Props, 'candidates' | 'drawn'>) {
  const store = useLuglineStore();
  const svg = () => {
    if (drawn.current === null) return null;
    const words = mapSheetWords(candidates, selectActiveBuild(store.getState()), todayWords());
    return exportMapSvg({ ...drawn.current, focus: null }, { ...words, size: DRAWING_SIZE, palette: lightPalette });
  };
  const what = candidates.some(isEstimated) ? 'map-estimate' : 'map';
  const nameOf = (kind: 'svg' | 'png') => fileName(candidates.map(({ name }) => name).join(' and '), what, kind);
  return <SaveDrawing what="the map" fileName={nameOf} svg={svg} isDisabled={drawn.current === null} />;
}

const KEY_WIDTH = 300;

/** What the lines of the drawing are, and what its flows are corrected to. */
export function MapKey({ drawn, reference }: Pick<Props, 'drawn'> & { reference: ReferenceState | null }) {
  const svg = useRef<SVGSVGElement>(null);
  const palette = useContext(PaletteContext);
  const units = useResultUnits();
  useLayoutEffect(() => {
    if (svg.current !== null && drawn.current !== null) drawMapLegend(svg.current, [drawn.current], palette, KEY_WIDTH);
  });
  return (
    <>
      <svg ref={svg} role="img" aria-label="What the lines are" />
      {reference !== null && (
        <p>
          Corrected to {showResult(reference.temperatureK, 'reference-temperature', units)},{' '}
          {showResult(reference.pressurePa, 'reference-pressure', units)}
        </p>
      )}
    </>
  );
}
