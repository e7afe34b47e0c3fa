import { latePart } from '../../widgets/index.ts';

/* What nobody sees at the start stays out of the first script. */

export const CardDialog = latePart(async () => (await import('./candidate/CardDialog.tsx')).CardDialog);
export const CounterMode = latePart(async () => (await import('./counter/CounterMode.tsx')).CounterMode);
export const CurveTable = latePart(async () => (await import('./sidebar/CurveTable.tsx')).CurveTable);
export const DifferencePanels = latePart(async () => (await import('./drawer/DifferencePanels.tsx')).DifferencePanels);
export const KnownVeDialog = latePart(async () => (await import('./sidebar/KnownVeDialog.tsx')).KnownVeDialog);
export const MapKey = latePart(async () => (await import('./map/MapTools.tsx')).MapKey);
export const MapTools = latePart(async () => (await import('./map/MapTools.tsx')).MapTools);
export const PointsPanel = latePart(async () => (await import('./drawer/PointsPanel.tsx')).PointsPanel);
export const TurbineSection = latePart(
  async () => (await import('./drawer/turbine/TurbineSection.tsx')).TurbineSection,
);
