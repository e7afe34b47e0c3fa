import { useMemo } from 'react';
import type { ResultQuantity, Settings } from '../../build/index.ts';
import { useLugline } from '../../store/index.ts';
import { formatNumber, formatQuantity, NO_BREAK_SPACE, type QuantityKey } from '../../units/index.ts';

/** The unit of every kind of result, complete. */
export type ResultUnits = Readonly<Record<ResultQuantity, string>>;

export const RESULT_UNIT_CHOICES: Readonly<Record<ResultQuantity, readonly string[]>> = {
  pressure: ['kPa', 'bar', 'psi'],
  'mass-flow': ['kg/s', 'g/s', 'lb/min'],
  temperature: ['degC', 'degF'],
  power: ['kW', 'PS', 'hp'],
  torque: ['Nm', 'lbft'],
};

/** The chosen units of results, and the first of each list where none is chosen or the chosen one is not known here. */
export function resultUnits(settings: Pick<Settings, 'resultUnits'>): ResultUnits {
  const unit = (kind: ResultQuantity): string => {
    const chosen = settings.resultUnits?.[kind];
    const known = RESULT_UNIT_CHOICES[kind];
    return chosen !== undefined && known.includes(chosen) ? chosen : known[0]!;
  };
  return {
    pressure: unit('pressure'),
    'mass-flow': unit('mass-flow'),
    temperature: unit('temperature'),
    power: unit('power'),
    torque: unit('torque'),
  };
}

/** What a number means decides how it is shown; the unit comes from the user's choice for that kind of result. */
export type Shown =
  | 'boost'
  | 'absolute-pressure'
  | 'air-flow'
  | 'temperature'
  | 'power'
  | 'torque'
  | 'shaft-speed'
  | 'engine-speed'
  | 'pressure-ratio'
  | 'margin'
  | 'share';

interface Rule {
  quantity: QuantityKey;
  unit: ResultQuantity | { fixed: string };
  decimals?: Readonly<Record<string, number>>;
}

const RULES: Readonly<Record<Shown, Rule>> = {
  boost: { quantity: 'pressure-gauge', unit: 'pressure', decimals: { kPa: 0, bar: 2, psi: 1 } },
  'absolute-pressure': { quantity: 'pressure-absolute', unit: 'pressure', decimals: { kPa: 0, bar: 2, psi: 1 } },
  'air-flow': { quantity: 'mass-flow', unit: 'mass-flow', decimals: { 'kg/s': 3, 'g/s': 0, 'lb/min': 1 } },
  temperature: { quantity: 'temperature', unit: 'temperature', decimals: { degC: 0, degF: 0 } },
  power: { quantity: 'power', unit: 'power', decimals: { kW: 0, PS: 0, hp: 0 } },
  torque: { quantity: 'torque', unit: 'torque', decimals: { Nm: 0, lbft: 0 } },
  'shaft-speed': { quantity: 'rotational-speed', unit: { fixed: 'rpm' } },
  'engine-speed': { quantity: 'engine-speed', unit: { fixed: 'rpm' } },
  'pressure-ratio': { quantity: 'pressure-ratio', unit: { fixed: '1' }, decimals: { '1': 2 } },
  margin: { quantity: 'fraction', unit: { fixed: '%' }, decimals: { '%': 1 } },
  share: { quantity: 'fraction', unit: { fixed: '%' }, decimals: { '%': 1 } },
};

/** Unit key in which a kind of result is shown. */
export function unitShown(shown: Shown, units: ResultUnits): string {
  const { unit } = RULES[shown];
  return typeof unit === 'string' ? units[unit] : unit.fixed;
}

/** Quantity of a kind of result. */
export function quantityShown(shown: Shown): QuantityKey {
  return RULES[shown].quantity;
}

/** An SI value as the user reads it. '–' for null and for what is not finite. */
export function showResult(
  si: number | null | undefined,
  shown: Shown,
  units: ResultUnits,
  options: { withUnit?: boolean; signed?: boolean } = {},
): string {
  const unit = unitShown(shown, units);
  const decimals = RULES[shown].decimals?.[unit];
  return formatQuantity(si ?? Number.NaN, RULES[shown].quantity, unit, {
    ...options,
    ...(decimals === undefined ? {} : { decimals }),
  });
}

/** The units in which results are shown; the same object while the choice is the same. */
export function useResultUnits(): ResultUnits {
  const chosen = useLugline((state) => state.workspace.settings.resultUnits);
  return useMemo(() => resultUnits({ resultUnits: chosen }), [chosen]);
}

/** The size of a margin, '1.2 %'; two decimals where one would read as nothing ('0.03 %'). Its sign is said in words beside it. */
export function marginSize(margin: number | null | undefined): string {
  const size = Math.abs(margin ?? Number.NaN) * 100;
  return `${formatNumber(size, size > 0 && size < 0.1 ? 2 : 1)}${NO_BREAK_SPACE}%`;
}
