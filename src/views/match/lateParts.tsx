import { fetchAhead, latePart } from '../../widgets/index.ts';

/*
 * Parts of the view that nobody sees at the start: they stay out of the first script, and are fetched when the page has nothing else to
 * do, so that a network that is gone later takes nothing away.
 */

const compare = latePart(async () => (await import('./compare/ComparePanels.tsx')).ComparePanels, LateMissing);
const card = latePart(async () => (await import('./candidate/CardDialog.tsx')).CardDialog, LateMissing);
const turbine = latePart(async () => (await import('./turbineCharts/TurbineSection.tsx')).TurbineSection, LateMissing);
const counter = latePart(async () => (await import('./counter/CounterMode.tsx')).CounterMode, LateMissing);

export const ComparePanels = compare.Part;
export const CardDialog = card.Part;
export const CounterMode = counter.Part;
export const TurbineSection = turbine.Part;

/** Fetches the parts when the page has nothing else to do. Gives back how to call it off. */
export const fetchMatchParts = () => fetchAhead('match', [compare, card, counter, turbine]);

/** In place of a part that could not be fetched. */
export function LateMissing() {
  return (
    <p role="alert">
      This part could not be fetched: the network is gone. Everything entered is kept. Reload the page when it is back.
    </p>
  );
}
