import { loadReading } from '../../build/index.ts';

/** The hash of a map's data; this module is itself loaded only with the Sheet view, and waits for it. */
export const reading = await loadReading();
