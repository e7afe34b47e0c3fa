import { it } from 'vitest';
import { auditSheet } from '../../src/compressor/audit.ts';
import { fitSurface, islandContours } from '../../src/compressor/index.ts';
import { factoryMap } from '../machines/demo-maps.ts';
import { EXACT_MACHINES, KILOGRAMS, readSheet } from '../machines/read-sheet.ts';
import { machine, measure } from './measure.ts';

/** Speed of the compressor map: fit, query, islands and audit of a sheet of nine lines of nine points. */
it('fits and answers within the frame budget', () => {
  console.log(machine());
  const sheet = readSheet(EXACT_MACHINES[2]!, KILOGRAMS);
  const surface = fitSurface(sheet);
  measure('surface fit, nine lines of nine points', () => fitSurface(sheet), { runs: 60, targetMs: 15 });
  const demo = factoryMap();
  measure('surface fit, demo map with islands', () => fitSurface(demo), { runs: 60, targetMs: 15 });
  let i = 0;
  measure(
    'surface query (flow, PR)',
    () => {
      i++;
      return surface.at(0.12 + 0.05 * Math.sin(i), 2 + 0.5 * Math.cos(1.7 * i));
    },
    { runs: 50, callsPerRun: 20000, targetMs: 0.003 },
  );
  measure(
    'surface line (speed, beta)',
    () => {
      i++;
      return surface.on(surface.highestLineRpm * (0.7 + 0.2 * Math.sin(i)), 0.5 + 0.4 * Math.cos(1.7 * i));
    },
    { runs: 50, callsPerRun: 4000, targetMs: 0.01 },
  );
  measure('islands for drawing', () => islandContours(surface), { runs: 20, targetMs: 30 });
  measure('audit of a sheet', () => auditSheet(sheet), { runs: 60, targetMs: 1 });
});
