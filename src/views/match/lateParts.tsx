import { latePart } from '../../widgets/index.ts';
import { LateMissing } from './LateMissing.tsx';
import { lateTurbine } from './lateTurbine.tsx';

/*
 * Parts of the view that nobody sees at the start: they stay out of the first script, and are fetched when the page has nothing else to
 * do, so that a network that is gone later takes nothing away.
 */

const compare = latePart(async () => (await import('./compare/index.ts')).ComparePanels, LateMissing);
const card = latePart(async () => (await import('./candidate/index.ts')).CardDialog, LateMissing);
const counter = latePart(async () => (await import('./counter/index.ts')).CounterMode, LateMissing);

export const ComparePanels = compare.Part;
export const CardDialog = card.Part;
export const CounterMode = counter.Part;

/** Fetches the parts when the page has nothing else to do. Gives back how to call it off. */
export function fetchMatchParts(): () => void {
  const timer = setTimeout(() => {
    for (const part of [compare, card, counter, lateTurbine]) part.fetch();
  }, 300);
  return () => clearTimeout(timer);
}
