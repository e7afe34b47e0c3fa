import { expect, it } from 'vitest';
import { estimateCapacity } from '../../src/turbine/index.ts';

/**
 * The vaneless mixed-flow research turbine of Imperial College (Abidat 1991; geometry and design point as quoted in later papers, all from
 * memory): rotor 83.58 mm at the inlet, 78.65 mm at the exit, blades 18 mm high, A/R 33 mm; design 0.678 kg/s at 923 K and expansion ratio
 * 2.9. The constants of the estimate were chosen on seeing it: this is no blind test, and holds the band, not the value.
 */
it('is within its band of a published vaneless turbine', () => {
  const published = (0.678 * Math.sqrt(287.05 * 923)) / (2.9 * 101_325);
  const made = estimateCapacity({ inducerM: 0.08358, exducerM: 0.07865, areaRadiusM: 0.033, tipHeightM: 0.018 });
  if (!made.ok) throw new Error(made.missing.join(', '));
  const off = made.capacity.flowParameter(2.9, 0) / published - 1;
  expect(Math.abs(off)).toBeLessThan(made.capacity.band);
});
