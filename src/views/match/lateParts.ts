import { latePart } from '../../widgets/index.ts';

/* What nobody sees at the start stays out of the first script. */

export const ComparePanels = latePart(async () => (await import('./compare/ComparePanels.tsx')).ComparePanels);
export const CardDialog = latePart(async () => (await import('./candidate/CardDialog.tsx')).CardDialog);
export const TurbineSection = latePart(async () => (await import('./turbineCharts/TurbineSection.tsx')).TurbineSection);
export const CounterMode = latePart(async () => (await import('./counter/CounterMode.tsx')).CounterMode);
