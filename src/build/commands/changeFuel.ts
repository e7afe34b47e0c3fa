import { FUELS } from '../../engine/index.ts';
import type { FuelKey } from '../../engine/types.ts';
import { parseNumber, plainNumber } from '../../units/index.ts';
import type { TypedCurve } from '../document.ts';
import { type Change, step } from './change.ts';
import { withActiveBuild } from './changeBuild.ts';

/** Far below what anybody knows of a consumption (some 4 %), and enough to bring 285 back to 285 from another fuel. */
const ROUNDING = 2e-4;

/**
 * Changes the fuel of the open build, and with it the specific consumption: every entered value is scaled by the heating values, so that
 * the share of the fuel's heat that reaches the crankshaft stays. A consumption of petrol left standing under E85 would make half as
 * much power again out of the same air. One step of undo brings fuel and consumption back.
 */
export function changeFuel(fuel: FuelKey): Change {
  return step('change fuel', (workspace) =>
    withActiveBuild(workspace, (build) => {
      const { engine } = build;
      if (engine.fuel === fuel) return build;
      const factor = FUELS[engine.fuel].lowerHeatingValueJPerKg / FUELS[fuel].lowerHeatingValueJPerKg;
      return { ...build, engine: { ...engine, fuel, bsfc: scaled(engine.bsfc, factor) } };
    }),
  );
}

/** What cannot be read stays as it was typed. */
function scaled(curve: TypedCurve, factor: number): TypedCurve {
  const rows = curve.rows.map((row) => {
    const parsed = parseNumber(row.value);
    return parsed.ok ? { ...row, value: shortest(parsed.value * factor) } : row;
  });
  return { ...curve, rows };
}

/** The text with the fewest digits that is the value within the rounding allowed. */
function shortest(value: number): string {
  for (let digits = 2; digits < 6; digits++) {
    const text = plainNumber(value, digits);
    if (Math.abs(Number(text) - value) <= ROUNDING * Math.abs(value)) return text;
  }
  return plainNumber(value, 6);
}
