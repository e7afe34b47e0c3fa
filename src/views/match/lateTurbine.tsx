import { latePart } from '../../widgets/index.ts';
import { LateMissing } from './LateMissing.tsx';

/** The charts of the turbine: a part of its own, because one candidate shows them as well as two, which are a late part themselves. */
export const lateTurbine = latePart(async () => (await import('./turbineCharts/index.ts')).TurbineSection, LateMissing);

export const TurbineSection = lateTurbine.Part;
