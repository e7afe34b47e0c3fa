import { memo } from 'react';
import type { UiState } from '../../../store/index.ts';
import { formatQuantity } from '../../../units/index.ts';
import styles from './compare.module.css';
import type { ComparedMap } from './useComparedMaps.ts';

/** What the lines of both drawings are, once for both. */
export const MapKey = memo(
  function MapKey({
    first,
    second,
    layout,
  }: {
    first: ComparedMap;
    second: ComparedMap;
    layout: UiState['matchLayout'];
  }) {
    return (
      <ul className={styles.key} aria-label="What the lines are">
        {keyTexts(first, second, layout).map((text) => (
          <li key={text}>{text}</li>
        ))}
        {partTexts(first, second).map(({ text, isThere }) => (
          <li key={text} className={isThere ? '' : styles.absent}>
            {text}
          </li>
        ))}
      </ul>
    );
  },
  (before, now) =>
    keyTexts(before.first, before.second, before.layout).join() ===
      keyTexts(now.first, now.second, now.layout).join() &&
    JSON.stringify(partTexts(before.first, before.second)) === JSON.stringify(partTexts(now.first, now.second)),
);

function keyTexts(first: ComparedMap, second: ComparedMap, layout: UiState['matchLayout']): readonly string[] {
  const chart = first.chart ?? second.chart;
  if (chart === null) return [];
  const islands = layout === 'overlay' ? '' : ((first.chart?.islandLabelNote || second.chart?.islandLabelNote) ?? '');
  return [
    `${first.letter}: solid, circles`,
    `${second.letter}: dashed, diamonds`,
    'Marks: engine speed, rpm',
    chart.speedLabelNote,
    islands,
    'Dotted: extended beyond the sheet',
    referenceWords(first, second),
  ].filter((text) => text !== '');
}

/** How the parts of a line look that the goal does not hold. One that neither line has keeps its room: nothing jumps when it comes. */
function partTexts(first: ComparedMap, second: ComparedMap): readonly { text: string; isThere: boolean }[] {
  const points = [...first.lines, ...second.lines].flatMap((line) => line.points);
  const has = (part: 'turbine' | 'ceiling') => points.some((point) => point?.part === part);
  const isDriven = [first, second].some(({ results }) => results.input?.turbine !== undefined);
  return [
    ...(isDriven ? [{ text: 'Hollow: turbine-limited', isThere: has('turbine') }] : []),
    { text: 'Ticks across: over a limit', isThere: has('ceiling') },
  ];
}

/** Corrected flow means nothing without the state that it is corrected to. */
function referenceWords(first: ComparedMap, second: ComparedMap): string {
  const surface = first.results.surface ?? second.results.surface;
  if (surface === null) return '';
  const { temperatureK, pressurePa } = surface.reference;
  const temperature = formatQuantity(temperatureK, 'temperature', 'degC', { decimals: 1 });
  return `Both corrected to ${temperature}, ${formatQuantity(pressurePa, 'pressure-absolute', 'kPa', { decimals: 2 })}`;
}
