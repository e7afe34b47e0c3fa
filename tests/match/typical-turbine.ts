import { estimateCapacity } from '../../src/turbine/index.ts';
import type { TurbineInput } from '../../src/turbine/types.ts';

/**
 * A turbine for a two-litre engine (invented): 46 mm wheel, constant efficiency.
 * @param size factor on its capacity
 */
export function typicalTurbine(size = 1, more: Partial<TurbineInput> = {}): TurbineInput {
  const made = estimateCapacity({ inducerM: 0.046, exducerM: 0.04, areaRadiusM: 0.0135 });
  if (!made.ok) throw new Error(`missing: ${made.missing.join(', ')}`);
  return {
    capacity: made.capacity,
    capacityFactor: size,
    efficiency: { kind: 'number', value: 0.68 },
    mechanicalEfficiency: 0.95,
    exhaustLoss: { lossPa: 15_000, atMassFlowKgPerS: 0.2, atDensityKgPerM3: 0.3 },
    ...more,
  };
}
