import { describe, expect, it } from 'vitest';
import { openingFor } from '../../src/turbine/index.ts';
import { criticalExpansionRatio, NozzleLaw, nozzleFlowParameter } from '../../src/turbine/laws.ts';

/**
 * Isentropic nozzle: choking ratio p0/p*, p-star over p0, choked W sqrt(R T0)/(A p0), choked W sqrt(cp T0)/(A p0), and W sqrt(R T0)/(A p0) at expansion
 * ratios 1.1, 1.2, 1.3, 1.5, 1.7. Hand calculation from the textbook formula (Saravanamuttoo et al., Gas Turbine Theory; Dixon & Hall);
 * 0.52828 and 1.281 for gamma 1.4 are printed in NACA 1135 and in Dixon & Hall (from memory).
 */
const TABLE = [
  [1.4, 1.8929, 0.52828, 0.68473, 1.28102, [0.40511, 0.52329, 0.58951, 0.65502, 0.67928]],
  [1.35, 1.8627, 0.53685, 0.67614, 1.32792, [0.40434, 0.5214, 0.58644, 0.64974, 0.67211]],
  [4 / 3, 1.8526, 0.53978, 0.67322, 1.34644, [0.40407, 0.52074, 0.58537, 0.6479, 0.66962]],
  [1.33, 1.8506, 0.54036, 0.67263, 1.35034, [0.40402, 0.5206, 0.58515, 0.64753, 0.66912]],
] as const;

describe('the isentropic nozzle', () => {
  it.each(TABLE)(
    'for gamma %f chokes at %f and has the tabulated flow parameters',
    (gamma, ratio, inverse, psi, byCp, row) => {
      expect(Math.abs(criticalExpansionRatio(gamma) - ratio)).toBeLessThan(5.1e-5);
      expect(Math.abs(1 / criticalExpansionRatio(gamma) - inverse)).toBeLessThan(6e-6);
      const choked = nozzleFlowParameter(5, gamma);
      // The table's rows for 1.3333 were worked with four decimals of gamma.
      expect(Math.abs(choked - psi)).toBeLessThan(1.1e-5);
      expect(Math.abs(choked * Math.sqrt(gamma / (gamma - 1)) - byCp)).toBeLessThan(1.1e-4);
      [1.1, 1.2, 1.3, 1.5, 1.7].forEach((expansionRatio, i) => {
        expect(Math.abs(nozzleFlowParameter(expansionRatio, gamma) - row[i]!)).toBeLessThan(1.1e-5);
      });
    },
  );

  it('NACA 1135, gamma 1.4 (from memory): p/p0 0.93947 and 0.84302 at Mach 0.3 and 0.5 have A/A* 2.03507 and 1.33984', () => {
    const law = new NozzleLaw(1.4);
    expect(Math.abs(law.chokedFlowParameter / law.at(1 / 0.93947) - 2.03507)).toBeLessThan(2e-4);
    expect(Math.abs(law.chokedFlowParameter / law.at(1 / 0.84302) - 1.33984)).toBeLessThan(2e-5);
    // W sqrt(cp T0)/(A p0) at Mach 0.5.
    expect(Math.abs(law.at(1 / 0.84302) * Math.sqrt(3.5) - 0.95609)).toBeLessThan(2e-5);
  });
});

describe('the opening of a wastegate', () => {
  // road-log.md C: a 25 mm hole at a flow coefficient of 0.7 passes 0.0937 kg/s (choked) and 0.0589 kg/s.
  it.each([
    [240_000, 1223, 0.0937],
    [160_000, 1173, 0.0589],
  ])('25 mm, 0.7, %f Pa, %f K, 115 kPa behind it: %f kg/s', (p3, T3, flow) => {
    const areaM2 = 0.7 * (Math.PI / 4) * 0.025 ** 2;
    const rootRT = Math.sqrt(287 * T3);
    expect(Math.abs(openingFor(flow, rootRT, p3, p3 / 115_000) / areaM2 - 1)).toBeLessThan(1e-3);
  });

  it('fitted gates of whole engines (road-log.md C: 491 mm2 on 1.95 L, 314 mm2 on 6.7 L) pass a share of their exhaust that a gate passes', () => {
    // Plausibility only: at 220 kPa, 1173 K and 110 kPa behind it; exhaust of 0.25 kg/s for the smaller engine at full power, of 0.3 kg/s for the diesel.
    const rootRT = Math.sqrt(287 * 1173);
    const passed = (areaM2: number) => areaM2 / openingFor(1, rootRT, 220_000, 2);
    expect(passed(4.91e-4) / 0.25).toBeGreaterThan(1 / 3);
    expect(passed(4.91e-4) / 0.25).toBeLessThan(1);
    expect(passed(3.14e-4) / 0.3).toBeGreaterThan(0.2);
    expect(passed(3.14e-4) / 0.3).toBeLessThan(0.5);
  });

  it('no flow needs no opening, and a flow without a pressure to drive it an endless one', () => {
    expect(openingFor(0, 500, 2e5, 1)).toBe(0);
    expect(openingFor(0.01, 500, 2e5, 1)).toBe(Number.POSITIVE_INFINITY);
  });
});
