import type { Build } from '../../../build/index.ts';
import { fieldAt } from '../../../build/index.ts';
import type { Influence, SpreadDone } from '../../../match/index.ts';
import { formatNumber, fromSi } from '../../../units/index.ts';
import { type TunerPressure, tunerPressure } from '../../shared/altitudeStudies.ts';

/** A result of which it is told what moves it. */
export type MovedOutput = 'shaftSpeedRpm' | 'ceilingPa' | TurbineOutput;
export type TurbineOutput = 'backPressureRatio' | 'wastegateShare' | 'turbineInletPressurePa';

/** What of the turbine there is to choose from. */
export const TURBINE_OUTPUTS: readonly { key: TurbineOutput; name: string }[] = [
  { key: 'backPressureRatio', name: 'the back-pressure ratio' },
  { key: 'wastegateShare', name: 'the gate share' },
  { key: 'turbineInletPressurePa', name: 'the pressure before the turbine' },
];

export interface InfluenceBar {
  key: string;
  name: string;
  /** 0..1 of the bar's full width. */
  share: number;
  shareText: string;
  /** '+3,100 rpm when it is up by its whole tolerance' */
  effect: string;
}

/** Which input matters most, largest first. */
export function influenceBars(build: Build, spread: SpreadDone, output: MovedOutput): InfluenceBar[] {
  const pressure = tunerPressure(build);
  return spread.influences[output].toSorted(bigger).map(({ key, share, effect }) => ({
    key,
    name: fieldAt(`spread.tolerances.${key}`).label,
    share: Math.max(0, Math.min(1, share)),
    shareText: `${formatNumber(share * 100, 0)}\u00a0%`,
    effect: effectText(output, effect, pressure),
  }));
}

function effectText(output: MovedOutput, effect: number, pressure: TunerPressure): string {
  if (output === 'shaftSpeedRpm') return `${signed(Math.round(effect / 10) * 10, 0)}\u00a0rpm`;
  if (output === 'backPressureRatio') return signed(effect, 3);
  if (output === 'wastegateShare') return `${signed(effect * 100, 1)}\u00a0points`;
  const value = fromSi(effect, 'pressure-difference', pressure.unit);
  return `${signed(value, pressure.decimals + 1)}\u00a0${pressure.label}`;
}

/** With a plus sign where something is added, none where it rounds to nothing. */
function signed(value: number, decimals: number): string {
  const text = formatNumber(value, decimals);
  return value > 0 && /[1-9]/.test(text) ? `+${text}` : text;
}

function bigger(a: Influence, b: Influence): number {
  return b.share - a.share;
}
