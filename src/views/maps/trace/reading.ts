import { loadReading } from '../../../build/index.ts';

/** Calibration, completing and judging; this module is itself loaded only when a map is traced, and waits for them. */
export const reading = await loadReading();
