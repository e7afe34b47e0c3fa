import { latePart } from '../../widgets/index.ts';

/*
 * Parts of the view that nobody sees at the start: they stay out of the first script, and are fetched when the page has nothing else to
 * do, so that a network that is gone later takes nothing away.
 */

function Missing() {
  return (
    <p role="alert">
      This part could not be fetched: the network is gone. Everything entered is kept. Reload the page when it is back.
    </p>
  );
}

const compare = latePart(async () => (await import('./compare/index.ts')).ComparePanels, Missing);
const card = latePart(async () => (await import('./candidate/index.ts')).CardDialog, Missing);
const turbine = latePart(async () => (await import('./turbineCharts/index.ts')).TurbineSection, Missing);
const counter = latePart(async () => (await import('./counter/index.ts')).CounterMode, Missing);

export const ComparePanels = compare.Part;
export const CardDialog = card.Part;
export const TurbineSection = turbine.Part;
export const CounterMode = counter.Part;

/** Fetches the parts when the page has nothing else to do. Gives back how to call it off. */
export function fetchMatchParts(): () => void {
  const timer = setTimeout(() => {
    for (const part of [compare, card, counter, turbine]) part.fetch();
  }, 300);
  return () => clearTimeout(timer);
}
