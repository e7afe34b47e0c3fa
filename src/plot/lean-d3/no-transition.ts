import { selection } from 'd3-selection';

/*
 * Stands in for d3-transition in the built page (vite.config.ts): d3-zoom needs of it only a way to interrupt, and nothing here moves by
 * itself. Together with its neighbours it keeps 12 kB gzipped out of a page whose budget is 250 kB.
 */
(selection.prototype as unknown as { interrupt: (this: unknown) => unknown }).interrupt = function interrupt() {
  return this;
};

/** No transition ever runs, so there is none to interrupt. */
export function interrupt(): void {}
