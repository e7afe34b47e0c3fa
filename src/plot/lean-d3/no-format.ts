/*
 * Stands in for d3-format in the built page (vite.config.ts): d3-scale brings it along for `tickFormat`, and numbers on axes are written by
 * src/plot/tick-text.ts as everywhere else on the page.
 */
function neverUsed(): never {
  throw new Error('Write ticks with tickText; see src/plot/lean-d3.');
}

export {
  neverUsed as format,
  neverUsed as formatPrefix,
  neverUsed as formatSpecifier,
  neverUsed as precisionFixed,
  neverUsed as precisionPrefix,
  neverUsed as precisionRound,
};
